//! Ranking the treatments that can be used for one problem, on fixed scales.

use super::acceptability::firsts;
use super::germs::{self, Stops};
use super::scales::{self, Scales};
use super::setting::Setting;
use super::suit::{LeftOut, to_hire};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law::{self, Finding, Legality};
use crate::rules::{Judged, Kind, Ruling};
use crate::sorting::sort;
use crate::stability::draws::DRAWS;
use crate::trial::{self, arithmetic::product_per_hl};
use crate::units::show;
use crate::wine::*;
use serde::Serialize;

/// Low, middle and high of a worked-out figure.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Span {
    /// Low end.
    pub low: f64,
    /// Middle.
    pub middle: f64,
    /// High end.
    pub high: f64,
}

impl Span {
    /// From an estimate, times a factor.
    pub fn of(e: &Estimate, times: f64) -> Span {
        Span {
            low: e.low * times,
            middle: e.middle * times,
            high: e.high * times,
        }
    }
    /// Times a factor.
    pub fn times(self, by: f64) -> Span {
        Span {
            low: self.low * by,
            middle: self.middle * by,
            high: self.high * by,
        }
    }
    /// Sum, end by end.
    pub fn plus(self, o: Span) -> Span {
        Span {
            low: self.low + o.low,
            middle: self.middle + o.middle,
            high: self.high + o.high,
        }
    }
    /// Through a scale that falls or rises steadily; ends are put in order.
    pub fn through(self, f: impl Fn(f64) -> f64) -> Span {
        let (a, m, b) = (f(self.low), f(self.middle), f(self.high));
        Span {
            low: a.min(b).min(m),
            middle: m,
            high: a.max(b).max(m),
        }
    }
}

/// What one criterion brings to a place in the list.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Share {
    /// Value on the fixed scale, 0 to 1.
    pub value: Span,
    /// Points it brings to the total: weight share times middle value.
    pub points: f64,
}

/// A treatment that can be used, with its place and what made it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Ranked {
    /// Key of the treatment.
    pub key: &'static str,
    /// Its name.
    pub name: &'static str,
    /// Place; treatments that cannot be told apart from the first of a place share it.
    pub rank: usize,
    /// Total on 0 to 1, with its spread.
    pub total: Span,
    /// Effect.
    pub effect: Share,
    /// Cost.
    pub cost: Share,
    /// Time.
    pub time: Share,
    /// Origin.
    pub origin: Share,
    /// Share of the problem taken away.
    pub removes: Span,
    /// Of germs: the powers of ten by which their count falls.
    pub logs: Option<Span>,
    /// Of germs: what it does by stopping their growth alone.
    pub stops: Option<Stops>,
    /// Money per hectolitre: product, wine lost and labour.
    pub money_per_hl: Span,
    /// Of which product or service; None where no price is known.
    pub product_per_hl: Option<Span>,
    /// Of which wine lost.
    pub lost_wine_per_hl: Span,
    /// Of which labour.
    pub labour_per_hl: Span,
    /// Days until the wine is clear of it.
    pub days: Span,
    /// Wine lost, % of the volume.
    pub loss_percent: Span,
    /// Labour, hours for the tank.
    pub labour_hours: Span,
    /// Energy, kWh per hectolitre.
    pub energy_kwh_per_hl: Option<Span>,
    /// Dose the cost was worked with, in the treatment's unit.
    pub costed_dose: Option<f64>,
    /// Greatest dose under the limits read, where one was.
    pub dose_cap: Option<f64>,
    /// The law, market by market.
    pub law: Vec<Finding>,
    /// The hardest answer; None when no market was named.
    pub legality: Option<Legality>,
    /// Organic schemes that are not settled by a text that was read.
    pub organic_unsure: Vec<Organic>,
    /// Impact on the wine: what else it takes, as quantity and share.
    pub impact: Vec<(Quantity, Span)>,
    /// What puts it first among those of its class, or opens it for this need.
    pub preferred: Vec<Ruling>,
    /// What makes it doubtful in this wine, and what must be measured before it.
    pub doubts: Vec<Ruling>,
    /// True when it cannot be done before the bottling day.
    pub too_late: bool,
    /// Points of impact: hundredths of aroma, tannin and, but for a white wine, colour that it
    /// takes, summed.
    pub impact_points: Span,
    /// Expected money per hectolitre: what it costs, its days, its impact, and the loss that is
    /// left.
    pub expected_per_hl: Span,
    /// Share of the draws in which it comes first.
    pub first_in: f64,
    /// The same whatever the weights are; None where the user set them, or ranks by money.
    pub first_in_any: Option<f64>,
    /// True when it does so little that it helps beside another treatment, not alone.
    pub helper: bool,
    /// True when sugar is left and it is no barrier: it never makes the wine safe to bottle by
    /// itself.
    pub never_enough: bool,
    /// True where another grade of the same agent stands before it in the same class: it comes after
    /// all other agents of its class.
    pub grade: bool,
    /// Costly equipment that it needs and that was not said to be had: it may be hired.
    pub hire: Vec<Kit>,
    /// Key of a treatment that is at least as good on every count and better on one.
    pub beaten_by: Option<&'static str>,
}

impl Ranked {
    /// What it takes of the problem, in words: a share, or of germs the powers of ten and what is
    /// held back; that it kills nothing where it only stops their growth.
    pub fn taken(&self) -> String {
        match (&self.stops, self.logs) {
            (Some(_), _) => germs::STOPS.trim_end_matches('.').to_string(),
            (None, Some(logs)) => germs::powers(logs),
            (None, None) => format!(
                "{}–{}",
                show::fixed(self.removes.low * 100.0, 0),
                show::percent(self.removes.high)
            ),
        }
    }
}

/// Middle value of the effect below which a treatment only helps. Judgement: a third of what is
/// needed.
const HELPS: f64 = 1.0 / 3.0;

/// Whether a wine is poorer without it, so that taking it counts as impact. Taking brown colour or
/// germs as well is no harm,
/// and a white wine has no colour to lose that anyone misses. Judgement.
pub fn is_missed(dossier: &Dossier, quantity: Quantity) -> bool {
    match quantity {
        Quantity::Aroma | Quantity::Tannin => true,
        Quantity::Colour => dossier.colour != Some(Colour::White),
        _ => false,
    }
}

/// Ranks acts for a problem by what the rules say of them. The result does not hang on their order,
/// and leaving one out does not reorder the rest.
pub fn rank(
    dossier: &Dossier,
    setting: &Setting,
    judged: &[Judged],
) -> (Vec<Ranked>, Vec<LeftOut>) {
    let (fit, shut): (Vec<&Judged>, Vec<&Judged>) =
        judged.iter().partition(|j| j.against.is_empty());
    let mut left_out: Vec<LeftOut> = shut.into_iter().map(LeftOut::of).collect();
    sort(&mut left_out, &mut |a, b| {
        (only_evidence(a), a.name).cmp(&(only_evidence(b), b.name))
    });
    let mut ranked = in_order(dossier, setting, &fit);
    let Scales { open, .. } = setting.shared.scales;
    let firsts = firsts(&setting.shared.scales, setting.at_stake, &ranked, 0..DRAWS);
    let of = |n: u32| f64::from(n) / f64::from(DRAWS);
    ranked.iter_mut().zip(firsts).for_each(|(r, [given, any])| {
        r.first_in = of(given);
        r.first_in_any = open.then(|| of(any));
    });
    mark_beaten(&mut ranked);
    (ranked, left_out)
}

/// Treatments that can be used for a problem, measured, in the order of its list and with their
/// places.
pub fn in_order(dossier: &Dossier, setting: &Setting, fit: &[&Judged]) -> Vec<Ranked> {
    let measured = fit.iter().map(|j| Ranked {
        preferred: j.preferred.clone(),
        doubts: j.cautions.iter().chain(&j.waits).cloned().collect(),
        ..measure(dossier, setting, j.act)
    });
    let mut ranked: Vec<Ranked> = measured.collect();
    let Scales { by_money, .. } = setting.shared.scales;
    sort(&mut ranked, &mut |a, b| {
        class(a)
            .cmp(&class(b))
            .then(
                score(b, by_money)
                    .middle
                    .total_cmp(&score(a, by_money).middle),
            )
            .then(a.key.cmp(b.key))
    });
    grades_last(&mut ranked);
    place(&mut ranked, by_money);
    ranked
}

/// Puts the grades of an agent after all other agents of their class, but for the best of them: one
/// agent takes one of the first places.
fn grades_last(ranked: &mut [Ranked]) {
    let of = |r: &Ranked| treatment(r.key).map(Treatment::agent);
    let mut further: Vec<&'static str> = Vec::new();
    for (i, r) in ranked.iter().enumerate() {
        let same = |o: &Ranked| class(o) == class(r) && of(o) == of(r);
        if ranked.iter().take(i).any(same) {
            further.push(r.key);
        }
    }
    for r in ranked.iter_mut() {
        r.grade = further.contains(&r.key);
    }
    let last = |r: &Ranked| (class(r), r.grade);
    sort(ranked, &mut |a, b| last(a).cmp(&last(b)));
}

/// The first whose law was read, where that of the first of all is believed or not known.
pub fn first_read(ranked: &[Ranked]) -> Option<&Ranked> {
    let first = ranked.first()?;
    let read = |r: &&Ranked| !r.helper && !unsure(r) && r.legality.is_some_and(Legality::allows);
    ranked
        .iter()
        .find(read)
        .filter(|_| first.legality.is_some_and(Legality::is_open))
}

/// What is not known of the law ranks after what was read or is believed.
pub fn unsure(r: &Ranked) -> bool {
    r.legality == Some(Legality::NotKnown) || !r.organic_unsure.is_empty()
}

/// What the order goes by: the total of the weights, or what is saved of the expected money.
fn score(r: &Ranked, by_money: bool) -> Span {
    if by_money {
        Span {
            low: -r.expected_per_hl.high,
            middle: -r.expected_per_hl.middle,
            high: -r.expected_per_hl.low,
        }
    } else {
        r.total
    }
}

/// A weighted sum of spans that err independently, so that their spreads add as squares. A factor
/// below 0 turns its span over.
fn combine(spans: &[Span; 4], factors: [f64; 4]) -> Span {
    let (middle, down, up) =
        spans
            .iter()
            .zip(factors)
            .fold((0.0, 0.0, 0.0), |(m, d, u), (v, factor)| {
                let (below, above) = (factor * (v.middle - v.low), factor * (v.high - v.middle));
                let (below, above) = if factor < 0.0 {
                    (-above, -below)
                } else {
                    (below, above)
                };
                (m + factor * v.middle, d + below * below, u + above * above)
            });
    Span {
        low: middle - libm::sqrt(down),
        middle,
        high: middle + libm::sqrt(up),
    }
}

/// Order before the total: what is safe before what never is enough, what is at hand before what
/// must be hired, clean before
/// not known of the law, what a rule prefers before the others, cures before helpers. It depends on
/// the treatment and the wine alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Class {
    pub never_enough: bool,
    pub hire: bool,
    pub unsure: bool,
    pub behind: bool,
    pub helper: bool,
}

pub(super) fn class(r: &Ranked) -> Class {
    Class {
        never_enough: r.never_enough,
        hire: !r.hire.is_empty(),
        unsure: unsure(r),
        behind: r.preferred.is_empty(),
        helper: r.helper,
    }
}

fn only_evidence(l: &LeftOut) -> bool {
    l.reasons.iter().all(|r| r.because == Kind::NoEvidence)
}

/// The share of `quantity` a treatment takes away at a useful dose.
pub fn effect_on(t: &Treatment, quantity: Quantity) -> Option<Estimate> {
    t.effects
        .iter()
        .filter(|e| e.on == quantity)
        .find_map(Effect::taken)
}

/// The price of a treatment for this wine, and whether it is per hectolitre of wine: the user's
/// own, else the built-in one
/// where the money is the same; nothing where nothing is bought. None where it is not known.
pub fn price(dossier: &Dossier, t: &Treatment) -> Option<(Span, bool)> {
    let each_hl = t.price.map_or(t.dose.is_none(), |p| p.per_hl);
    if let Some(own) = dossier.price(t.key) {
        return Some((
            Span {
                low: own,
                middle: own,
                high: own,
            },
            each_hl,
        ));
    }
    if t.price.is_none() && t.dose.is_none() && t.kit.is_empty() {
        // Nothing is bought or hired: labour and lost wine are all of it.
        return Some((
            Span {
                low: 0.0,
                middle: 0.0,
                high: 0.0,
            },
            true,
        ));
    }
    t.price
        .filter(|p| p.currency == &*dossier.currency)
        .map(|p| (Span::of(&p.amount, 1.0), each_hl))
}

/// What is known of a treatment in one wine for one problem, asked once, before it is weighed.
struct Candidate {
    treatment: &'static Treatment,
    /// Value of what it does to germs.
    on_germs: Option<Span>,
    stops: Option<Stops>,
    never_enough: bool,
    hire: Vec<Kit>,
    /// What the bench of this wine found in place of what is usual.
    tested: Option<f64>,
    law: Vec<Finding>,
    organic_unsure: Vec<Organic>,
    /// Share of the acidity that it takes, worked out.
    acidity: Option<Span>,
    energy: Option<Span>,
    /// Its price, and whether it is per hectolitre of wine.
    price: Option<(Span, bool)>,
    impact: Vec<(Quantity, Span)>,
}

impl Candidate {
    fn of(dossier: &Dossier, setting: &Setting, t: &'static Treatment) -> Candidate {
        let of = setting.problem.quantity;
        let takes = |e: &&Effect| e.on != of && is_missed(dossier, e.on);
        let unsure =
            |s: &Organic| law::organic(*s, t).is_none_or(|r| r.evidence == Evidence::Memory);
        Candidate {
            treatment: t,
            price: price(dossier, t),
            energy: energy(dossier, t),
            on_germs: germs::value(setting, t),
            stops: germs::stops(dossier, t, of),
            never_enough: setting
                .food
                .is_some_and(|food| !setting.shared.fed.settles(food, t)),
            hire: to_hire(dossier, t),
            impact: t
                .effects
                .iter()
                .filter(takes)
                .filter_map(|e| e.removes.map(|r| (e.on, Span::of(&r, 1.0))))
                .collect(),
            acidity: (of == Quantity::TitratableAcidity && effect_on(t, of).is_some())
                .then(|| crate::derived::acidity_taken(dossier, t.key))
                .flatten()
                .map(|[low, middle, high]| Span { low, middle, high }),
            tested: trial::dose_for(dossier, t).and_then(|r| r.tested()),
            law: law::for_problem(&dossier.law(t), setting.problem.problem),
            organic_unsure: dossier.schemes().into_iter().filter(unsure).collect(),
        }
    }

    /// Share of the problem that it takes away.
    fn removes(&self, of: Quantity) -> Span {
        let judged = effect_on(self.treatment, of).map(|e| Span::of(&e, 1.0));
        self.acidity.or(judged).unwrap_or_default()
    }

    /// The dose that its cost is worked with: none above the least limit of the law.
    fn dose(&self, cap: Option<f64>) -> Option<f64> {
        let usual = self.treatment.dose?.range.middle;
        let dose = self.tested.unwrap_or(usual);
        Some(cap.map_or(dose, |cap| dose.min(cap)))
    }

    /// What is bought, per hectolitre, at a dose.
    fn product(&self, dose: Option<f64>) -> Option<Span> {
        let (amount, each_hl) = self.price?;
        let per_hl = match (each_hl, self.treatment.dose) {
            (false, Some(d)) => product_per_hl(&d, dose.unwrap_or(d.range.middle)) / 1000.0,
            _ => 1.0,
        };
        Some(amount.times(per_hl))
    }
}

/// Works out one treatment for a problem, whether or not it can be used; what the rules say of it is
/// not asked.
pub fn measure(dossier: &Dossier, setting: &Setting, t: &'static Treatment) -> Ranked {
    weigh(setting, Candidate::of(dossier, setting, t))
}

/// Weighs a treatment on the four counts and in money.
fn weigh(setting: &Setting, of: Candidate) -> Ranked {
    let (t, scales) = (of.treatment, &setting.shared.scales);
    let removes = of.removes(setting.problem.quantity);
    let value = setting.known.map(|k| k.estimate.middle);
    let (floor, ceiling) = setting.band.map_or((None, None), |b| (b.floor, b.ceiling));
    let effect = of
        .on_germs
        .unwrap_or_else(|| removes.through(|r| scales::effect(1.0 - r, value, floor, ceiling)));

    let dose_cap = of.law.iter().filter_map(|f| f.dose_cap).reduce(f64::min);
    let dose = of.dose(dose_cap);
    let product = of.product(dose);
    let lost = Span::of(&t.loss_percent, scales.value / 100.0);
    let labour = Span::of(&t.labour_hours, scales.per_hour / scales.hectolitres);
    let [low, middle, high] = scales::UNKNOWN_PRICE;
    let money = lost
        .plus(labour)
        .plus(product.unwrap_or(Span { low, middle, high }));
    let days = Span::of(&t.days, 1.0);

    let origin = scales::origin(t.origin);
    let values = [
        effect,
        money.through(scales::cost),
        days.through(scales::time),
        Span {
            low: origin,
            middle: origin,
            high: origin,
        },
    ];
    let total = combine(&values, scales.weights);
    let mut shares = values
        .iter()
        .zip(scales.weights)
        .map(|(value, weight)| Share {
            value: *value,
            points: weight * value.middle,
        });
    let mut share = || shares.next().unwrap_or_default();
    let points = |sum: Span, (_, taken): &(Quantity, Span)| sum.plus(taken.times(100.0));
    let impact_points = of.impact.iter().fold(Span::default(), points);
    let loss = setting.at_stake;
    let spent = combine(
        &[effect, money, days, impact_points],
        [-loss, 1.0, scales.per_day, scales.per_point],
    );
    Ranked {
        key: t.key,
        name: t.name,
        rank: 0,
        grade: false,
        total,
        effect: share(),
        cost: share(),
        time: share(),
        origin: share(),
        removes,
        logs: germs::logs(t, setting.problem.quantity),
        stops: of.stops,
        money_per_hl: money,
        product_per_hl: product,
        lost_wine_per_hl: lost,
        labour_per_hl: labour,
        days,
        loss_percent: Span::of(&t.loss_percent, 1.0),
        labour_hours: Span::of(&t.labour_hours, 1.0),
        energy_kwh_per_hl: of.energy,
        costed_dose: dose,
        dose_cap,
        legality: law::hardest(&of.law),
        law: of.law,
        organic_unsure: of.organic_unsure,
        impact: of.impact,
        impact_points,
        expected_per_hl: Span {
            low: (spent.low + loss).max(0.0),
            middle: spent.middle + loss,
            high: spent.high + loss,
        },
        preferred: Vec::new(),
        doubts: Vec::new(),
        too_late: setting
            .shared
            .days_left
            .is_some_and(|left| days.low > left as f64),
        first_in: 0.0,
        first_in_any: None,
        helper: effect.middle < HELPS || of.never_enough,
        never_enough: of.never_enough,
        hire: of.hire,
        beaten_by: None,
    }
}

/// Energy: chilling by the heat to be taken out, where the lot is known; else the figure of the
/// tables.
fn energy(dossier: &Dossier, t: &Treatment) -> Option<Span> {
    let chilled = t.kit.contains(&Kit::Chiller);
    let worked_out = if chilled {
        crate::derived::chilling_energy(dossier, t.temperature.map(|e| e.middle))
    } else {
        None
    };
    worked_out
        .map(|[low, middle, high]| Span { low, middle, high })
        .or(t.energy_kwh_per_hl.map(|e| Span::of(&e, 1.0)))
}

/// Places: the first of the list opens a place, and all whose spread reaches its spread share it.
fn place(ranked: &mut [Ranked], by_money: bool) {
    let mut leader: Option<(usize, Span, (Class, bool))> = None;
    for (i, r) in ranked.iter_mut().enumerate() {
        let (own, total) = ((class(r), r.grade), score(r, by_money));
        match leader {
            Some((rank, first, same)) if same == own && total.high >= first.low => r.rank = rank,
            _ => {
                r.rank = i + 1;
                leader = Some((r.rank, total, own));
            }
        }
    }
}

fn mark_beaten(ranked: &mut [Ranked]) {
    let counts = |r: &Ranked| {
        let impact: f64 = r.impact.iter().map(|(_, s)| s.middle).sum();
        [
            r.effect.value.middle,
            r.cost.value.middle,
            r.time.value.middle,
            r.origin.value.middle,
            -impact,
            -r.loss_percent.middle,
            if unsure(r) { 0.0 } else { 1.0 },
            if r.hire.is_empty() { 1.0 } else { 0.0 },
        ]
    };
    let all: Vec<(&'static str, [f64; 8])> = ranked.iter().map(|r| (r.key, counts(r))).collect();
    for r in ranked.iter_mut() {
        let own = counts(r);
        r.beaten_by = all
            .iter()
            .find(|(key, other)| {
                *key != r.key
                    && other.iter().zip(own).all(|(o, mine)| *o >= mine)
                    && other.iter().zip(own).any(|(o, mine)| *o > mine)
            })
            .map(|(key, _)| *key);
    }
}

#[cfg(test)]
mod tests {
    use super::super::setting::Shared;
    use super::*;

    type Checked = Result<(), &'static str>;

    /// Sodium bentonite against protein in a white wine.
    fn bentonite(days_left: Option<i64>) -> Result<Ranked, &'static str> {
        let treatment = TREATMENTS
            .rows()
            .iter()
            .find(|t| t.key == "bentonite_sodium")
            .ok_or("no bentonite")?;
        let dossier = Dossier::of(&Wine {
            colour: Some(Colour::White),
            ..Wine::default()
        });
        let setting = Setting::of(&dossier, Shared::of(&dossier, days_left), Problem::Protein)
            .ok_or("no protein")?;
        Ok(measure(&dossier, &setting, treatment))
    }

    /// By hand: −1 times 5 to 14 about 10 is −14 to −5 about −10, so 4 below and 5 above; 7 to 22
    /// about 10 is 3 below and 12
    /// above. The sum is 0, √(4² + 3²) = 5 below and √(5² + 12²) = 13 above.
    #[test]
    fn a_factor_below_zero_turns_its_span_over() {
        let nothing = Span {
            low: 0.0,
            middle: 0.0,
            high: 0.0,
        };
        let spans = [
            Span {
                low: 5.0,
                middle: 10.0,
                high: 14.0,
            },
            Span {
                low: 7.0,
                middle: 10.0,
                high: 22.0,
            },
            nothing,
            nothing,
        ];
        assert_eq!(
            combine(&spans, [-1.0, 1.0, 1.0, 1.0]),
            Span {
                low: -5.0,
                middle: 0.0,
                high: 13.0
            }
        );
    }

    /// It takes 4 to 10 days: with 6 left it may do, with 3 it cannot.
    #[test]
    fn what_may_be_done_in_time_is_not_called_too_late() -> Checked {
        let usual = bentonite(None)?;
        assert_eq!(
            usual.days,
            Span {
                low: 4.0,
                middle: 7.0,
                high: 10.0
            }
        );
        let late: Vec<bool> = [None, Some(10), Some(6), Some(4), Some(3)]
            .into_iter()
            .map(|left| Ok(bentonite(left)?.too_late))
            .collect::<Result<_, &str>>()?;
        assert_eq!(late, [false, false, false, false, true]);
        Ok(())
    }

    /// Two that are the same in all but the wine that is lost.
    #[test]
    fn what_is_not_known_beats_nothing_that_is_lawful() -> Checked {
        let lawful = Ranked {
            legality: Some(Legality::Permitted),
            ..bentonite(None)?
        };
        assert!(lawful.loss_percent.middle > 0.0);
        let nothing = Span {
            low: 0.0,
            middle: 0.0,
            high: 0.0,
        };
        let beaten = |legality: Legality, organic_unsure: Vec<Organic>| -> Vec<Option<&str>> {
            let loses_less = Ranked {
                key: "loses_less",
                loss_percent: nothing,
                legality: Some(legality),
                organic_unsure,
                ..lawful.clone()
            };
            let mut both = [lawful.clone(), loses_less];
            mark_beaten(&mut both);
            both.iter().map(|r| r.beaten_by).collect()
        };
        assert_eq!(
            beaten(Legality::Limited, Vec::new()),
            [Some("loses_less"), None]
        );
        assert_eq!(beaten(Legality::NotKnown, Vec::new()), [None, None]);
        assert_eq!(beaten(Legality::Permitted, vec![Organic::Eu]), [None, None]);
        Ok(())
    }
}
