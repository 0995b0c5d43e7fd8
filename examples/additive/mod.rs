//! Instances of the additive kind (one draw, one dose, nothing put in), which general solvers can
//! read too. Invented numbers.

use stillbright::route::model::{Act, Effect, Instance, Need, Set};

/// How many there are.
pub const COUNT: u64 = 200;

struct Dice(u64);
impl Dice {
    fn below(&mut self, n: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % n.max(1)
    }
}

/// Whole numbers: how far an act brings each need (thousandths of a natural logarithm), its cents,
/// days and shares of limits.
pub fn written(seed: u64) -> serde_json::Value {
    let mut d = Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5bd1);
    let (needs, acts, limits) = (1 + d.below(5), 8 + d.below(17), d.below(3));
    let wanted: Vec<u64> = (0..needs).map(|_| 700 + d.below(2500)).collect();
    let rows: Vec<serde_json::Value> = (0..acts)
        .map(|_| {
            let brings: Vec<u64> = (0..needs).map(|_| if d.below(10) < 4 { 150 + d.below(2200) } else { 0 }).collect();
            let uses: Vec<u64> = (0..limits).map(|_| if d.below(10) < 4 { 100 + d.below(700) } else { 0 }).collect();
            serde_json::json!({ "brings": brings, "uses": uses, "cents": 20 + d.below(3000), "days": d.below(20) })
        })
        .collect();
    let never: Vec<[u64; 2]> = (0..d.below(5))
        .map(|_| [d.below(acts), d.below(acts)])
        .filter(|[a, b]| a != b)
        .collect();
    serde_json::json!({ "wanted": wanted, "acts": rows, "never": never, "days": 10 + d.below(60), "decisions": 3 + d.below(4) })
}

fn whole(v: &serde_json::Value) -> f64 {
    v.as_f64().unwrap_or(0.0)
}

fn list(v: &serde_json::Value) -> &[serde_json::Value] {
    v.as_array().map_or(&[], Vec::as_slice)
}

pub fn instance(v: &serde_json::Value) -> Instance {
    let acts = list(&v["acts"]);
    let acts: Vec<Act> = acts
        .iter()
        .enumerate()
        .map(|(i, a)| {
            let mut never = Set::default();
            for pair in list(&v["never"]) {
                let (x, y) = (whole(&pair[0]) as usize, whole(&pair[1]) as usize);
                [(x, y), (y, x)]
                    .iter()
                    .filter(|p| p.0 == i)
                    .for_each(|p| never.add(p.1));
            }
            let effects = list(&a["brings"])
                .iter()
                .enumerate()
                .filter(|(_, b)| whole(b) > 0.0);
            Act {
                rungs: vec![1.0],
                effects: effects
                    .map(|(need, b)| Effect {
                        need,
                        left: vec![vec![libm::exp(-whole(b) / 1000.0)]],
                        add: vec![0.0],
                        removes: true,
                    })
                    .collect(),
                fixed: vec![whole(&a["cents"]) / 100.0],
                per_dose: vec![0.0],
                days: whole(&a["days"]),
                impact: vec![0.0],
                decidable: true,
                never,
                limits: list(&a["uses"])
                    .iter()
                    .enumerate()
                    .filter(|(_, u)| whole(u) > 0.0)
                    .map(|(l, u)| (l, 1000.0 / whole(u)))
                    .collect(),
                ..Act::default()
            }
        })
        .collect();
    Instance {
        // Half a thousandth more than wanted, so that no solver hangs on a tie.
        needs: list(&v["wanted"])
            .iter()
            .map(|w| Need {
                start: vec![1.0],
                floor: f64::NEG_INFINITY,
                ceiling: libm::exp(-(whole(w) - 0.5) / 1000.0),
                required: true,
            })
            .collect(),
        limits: 3,
        acts,
        draws: 1,
        days: whole(&v["days"]),
        target: 1.0,
        decisions: whole(&v["decisions"]) as usize,
        ..Instance::default()
    }
}
