//! Facts: treatments, law by market, problems and their bands, typical values, rules,
//! sources. Data files under
//! `data/`, checked when the crate is built and held as one packed blob. No facts are written in
//! code.

use crate::wine::*;
use packed::Unpacker;
use serde::Serialize;
use std::ops::Deref;
use std::sync::LazyLock;

#[cfg(test)]
use crate::wine::words;
#[cfg(test)]
mod compile;
#[cfg_attr(not(test), allow(dead_code))]
mod packed;

type Text = &'static str;
type List<T> = &'static [T];
type W<T> = T;

/// What can be unpacked.
trait Unpack: Sized {
    fn unpack(from: &mut Unpacker) -> Self;
}
impl Unpack for &'static str {
    fn unpack(from: &mut Unpacker) -> Self {
        from.text()
    }
}
impl Unpack for f64 {
    fn unpack(from: &mut Unpacker) -> Self {
        from.figure()
    }
}
impl Unpack for bool {
    fn unpack(from: &mut Unpacker) -> Self {
        from.whole() != 0
    }
}
impl Unpack for u16 {
    fn unpack(from: &mut Unpacker) -> Self {
        from.whole() as u16
    }
}
impl<T: Word> Unpack for T {
    fn unpack(from: &mut Unpacker) -> Self {
        T::EVERY
            .get(from.whole() as usize)
            .copied()
            .unwrap_or(T::FIRST)
    }
}
impl<T: Unpack> Unpack for Option<T> {
    fn unpack(from: &mut Unpacker) -> Self {
        (from.whole() != 0).then(|| T::unpack(from))
    }
}
impl<T: Unpack + 'static> Unpack for &'static [T] {
    fn unpack(from: &mut Unpacker) -> Self {
        let n = from.whole() as usize;
        let mut list = Vec::with_capacity(n);
        for _ in 0..n {
            list.push(T::unpack(from));
        }
        // Once in the life of the page, and kept as long.
        list.leak()
    }
}

macro_rules! shape {
    ($($(#[$meta:meta])* pub struct $name:ident { $($(#[$field_meta:meta])* pub $field:ident: $ty:ty,)* })*) => {$(
        $(#[$meta])* #[derive(Debug, Clone, Copy, PartialEq, Serialize)] pub struct $name { $($(#[$field_meta])* pub $field: $ty,)* }
        impl Unpack for $name {
            fn unpack(from: &mut Unpacker) -> Self {
                $(let $field = <$ty as Unpack>::unpack(from);)*
                $name { $($field),* }
            }
        }
    )*};
}
include!("schema.rs");

/// A treatment in a report: its key and its name, not all that is known of it.
pub(crate) fn named<S: serde::Serializer>(t: &Treatment, writer: S) -> Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    struct Named {
        key: &'static str,
        name: &'static str,
    }
    Named {
        key: t.key,
        name: t.name,
    }
    .serialize(writer)
}

static BOOK: LazyLock<DataFile> = LazyLock::new(|| {
    let mut from = Unpacker::new(
        include_str!(concat!(env!("OUT_DIR"), "/knowledge.txt")),
        include_bytes!(concat!(env!("OUT_DIR"), "/knowledge.bin")),
    );
    let book = DataFile::unpack(&mut from);
    debug_assert!(from.is_over());
    book
});

/// Every table at once, for what goes over all of them.
pub fn everything() -> &'static DataFile {
    &BOOK
}

/// One table of the knowledge.
#[derive(Debug)]
pub struct Table<T: 'static>(fn() -> &'static [T]);

impl<T> Table<T> {
    /// Its rows.
    pub fn rows(&self) -> &'static [T] {
        (self.0)()
    }
}
impl<T> Deref for Table<T> {
    type Target = [T];
    fn deref(&self) -> &[T] {
        self.rows()
    }
}

/// Works cited.
pub static SOURCES: Table<Source> = Table(|| BOOK.source);
/// Treatments.
pub static TREATMENTS: Table<Treatment> = Table(|| BOOK.treatment);

/// Whether what is written for some colours holds for a wine: for no colour named it does for all.
/// Of a colour that is not known, only what holds for all does.
///
/// ```
/// # use stillbright::knowledge::holds_for;
/// # use stillbright::wine::Colour;
/// assert!(holds_for(&[], None));
/// assert!(holds_for(&[Colour::Red], Some(Colour::Red)));
/// assert!(!holds_for(&[Colour::Red], None));
/// ```
pub fn holds_for(colours: &[Colour], colour: Option<Colour>) -> bool {
    colours.is_empty() || colour.is_some_and(|c| colours.contains(&c))
}

/// The treatment that a key names.
///
/// ```
/// # use stillbright::knowledge::treatment;
/// assert!(treatment("bentonite_sodium").is_some());
/// assert!(treatment("unknown").is_none());
/// ```
pub fn treatment(key: &str) -> Option<&'static Treatment> {
    TREATMENTS.rows().iter().find(|t| t.key == key)
}

/// Rules of the bench.
pub static BENCH: Table<BenchRule> = Table(|| BOOK.bench);
/// Cautions.
pub static CAUTIONS: Table<Caution> = Table(|| BOOK.caution);
/// Problems.
pub static PROBLEMS: Table<ProblemFacts> = Table(|| BOOK.problem);
/// Stabilities.
pub static STABILITIES: Table<StabilityFacts> = Table(|| BOOK.stability);
/// Phases of a route.
pub static PHASES: Table<PhaseFacts> = Table(|| BOOK.phase);
/// Rules that speak for or against an act.
pub static RULES: Table<Rule> = Table(|| BOOK.rule);
/// Answers that are no treatment.
pub static HONEST: Table<HonestRow> = Table(|| BOOK.honest);
/// What stops germs from growing.
pub static HURDLES: Table<HurdleFacts> = Table(|| BOOK.hurdle);
/// When a problem is met that no band tells of.
pub static ENOUGH: Table<Enough> = Table(|| BOOK.enough);
/// Tests with their price, days and sample.
pub static TESTS: Table<TestFacts> = Table(|| BOOK.test);
/// The last days' checks.
pub static LAST: Table<LastCheck> = Table(|| BOOK.last);
/// Limits on the water of slurries.
pub static WATER: Table<WaterRule> = Table(|| BOOK.water);
/// What carbon dioxide in a closed bottle does, the least first.
pub static GAS: Table<GasLevel> = Table(|| BOOK.gas);
/// Equipment that few cellars own.
pub static COSTLY: Table<CostlyKit> = Table(|| BOOK.costly);
/// What is known of the area that filters need.
pub static FILTERS: Table<FilterFacts> = Table(|| BOOK.filter);
/// Causes.
pub static CAUSES: Table<Cause> = Table(|| BOOK.cause);
/// Signs.
pub static SIGNS: Table<Sign> = Table(|| BOOK.sign);
/// Typical values.
pub static TYPICAL: Table<Typical> = Table(|| BOOK.typical);
/// Bodies of law.
pub static BODIES: Table<LawFacts> = Table(|| BOOK.body);
/// Acceptances between markets.
pub static ACCEPTANCES: Table<Acceptance> = Table(|| BOOK.acceptance);
/// Rules of law.
pub static LAW: Table<LawRule> = Table(|| BOOK.law);
/// Organic lists.
pub static ORGANIC: Table<OrganicRule> = Table(|| BOOK.organic);
/// Limits on sulfur dioxide.
pub static SO2_LIMITS: Table<So2Limit> = Table(|| BOOK.so2);

impl Fact {
    /// How it is known: “read · B2”.
    pub fn how(&self) -> String {
        if self.source.is_empty() {
            self.standing.label().into()
        } else {
            format!("{} · {}", self.standing.label(), self.source)
        }
    }
}

impl ProblemFacts {
    /// The band that fits a wine by its colour, its stage and the test that its journey asks for;
    /// None where none does.
    pub fn band(
        &self,
        colour: Option<Colour>,
        stage: Option<Stage>,
        journey: Option<Journey>,
    ) -> Option<&'static NeedBand> {
        self.bands.iter().find(|b| {
            (b.stages.is_empty() || stage.is_some_and(|s| b.stages.contains(&s)))
                && (b.journeys.is_empty() || journey.is_some_and(|j| b.journeys.contains(&j)))
                && holds_for(b.colours, colour)
        })
    }
}

impl BarrierRule {
    /// Whether a treatment keeps all the germs back that the rule is about.
    pub fn is_met_by(&self, t: &Treatment) -> bool {
        !t.germ_barrier.is_empty()
            && (self.against.iter().all(|g| t.germ_barrier.contains(g))
                || self.also.contains(&t.key))
    }
}

/// The share that is left of germs whose count falls by so many powers of ten.
///
/// ```
/// # use stillbright::knowledge::survivors;
/// assert!((survivors(3.0) - 0.001).abs() < 1e-15);
/// ```
pub fn survivors(logs: f64) -> f64 {
    libm::pow(10.0, -logs)
}

impl Effect {
    /// The share of the quantity that it takes away; of germs by the powers of ten of its count.
    pub fn taken(&self) -> Option<Estimate> {
        let of_germs = self.logs.map(|l| Estimate {
            low: 1.0 - survivors(l.low),
            middle: 1.0 - survivors(l.middle),
            high: 1.0 - survivors(l.high),
            ..l
        });
        self.removes.or(of_germs)
    }

    /// Whether it works against the quantity: takes of it, or stops it from growing.
    pub fn works(&self) -> bool {
        self.taken().is_some_and(|t| t.high > 0.0) || self.hurdle.is_some()
    }
}

impl Treatment {
    /// Whether it works against a quantity: takes of it, or stops germs from growing.
    pub fn works_on(&self, of: Quantity) -> bool {
        self.effects.iter().any(|e| e.on == of && e.works())
    }

    /// The agent of which it is a grade, or itself.
    pub fn agent(&self) -> &'static str {
        self.grade_of.unwrap_or(self.key)
    }
    /// The quantity whose test judges what it does to `on`, where that of `on` does not.
    pub fn judged_by(&self, on: Quantity) -> Option<Quantity> {
        self.effects
            .iter()
            .filter(|e| e.on == on)
            .find_map(|e| e.judged_by)
    }
    /// Days from its beginning until the next step or the bottle, low, middle, high: until the wine
    /// is clear of it, and its least wait
    /// where that is longer. Both count from the act.
    pub fn takes(&self) -> [f64; 3] {
        let of = |days: f64, wait: fn(&Estimate) -> f64| {
            days.max(self.wait_days.as_ref().map_or(0.0, wait))
        };
        [
            of(self.days.low, |w| w.low),
            of(self.days.middle, |w| w.middle),
            of(self.days.high, |w| w.high),
        ]
    }
}

/// The standing of every figure and statement in the tables, one entry each: what the page about
/// the figures counts.
pub fn standings() -> Vec<Standing> {
    let mut all = Vec::new();
    for t in TREATMENTS.iter() {
        let estimates = [
            Some(t.days),
            t.longest_days,
            t.wait_days,
            t.temperature,
            Some(t.loss_percent),
            Some(t.labour_hours),
            t.energy_kwh_per_hl,
            t.water_l_per_hl,
            t.slurry,
        ];
        all.extend(estimates.iter().flatten().map(|e| e.standing));
        all.extend(
            t.effects
                .iter()
                .flat_map(|e| [e.removes, e.logs, e.adds])
                .flatten()
                .map(|e| e.standing),
        );
        all.extend(t.dose.iter().map(|d| d.range.standing));
        all.extend(t.dose.iter().filter_map(|d| d.note.map(|n| n.standing)));
        all.extend(t.price.iter().map(|p| p.amount.standing));
        all.push(t.origin_note.standing);
        let shown = t
            .bounds
            .iter()
            .filter_map(|b| b.shown.as_ref())
            .map(|w| &w.why);
        all.extend(
            t.germ_barrier_why
                .iter()
                .chain(t.in_line.iter())
                .chain(t.bounds.iter().map(|b| &b.why))
                .chain(shown)
                .map(|f| f.standing),
        );
        for list in [
            t.mechanism,
            t.label,
            t.preparation,
            t.contact,
            t.over,
            t.disagree,
        ] {
            all.extend(list.iter().map(|f| f.standing));
        }
    }
    all.extend(RULES.iter().map(|r| r.why.standing));
    all.extend(HONEST.iter().map(|h| h.why.standing));
    all.extend(BENCH.iter().map(|b| b.rule.standing));
    all.extend(CAUTIONS.iter().map(|c| c.text.standing));
    for s in STABILITIES.iter() {
        all.extend(
            s.bands
                .iter()
                .map(|b| b.why.standing)
                .chain(s.blind.iter().map(|f| f.standing))
                .chain([s.test.standing, s.window.why.standing]),
        );
        all.extend(
            s.shelf
                .iter()
                .map(|n| n.note.standing)
                .chain(s.barrier.iter().map(|r| r.why.standing)),
        );
    }
    all.extend(
        PHASES
            .iter()
            .map(|p| p.why.standing)
            .chain(ENOUGH.iter().map(|e| e.why.standing))
            .chain(ENOUGH.iter().filter_map(|e| Some(e.counted?.why.standing)))
            .chain(HURDLES.iter().map(|h| h.why.standing)),
    );
    all.extend(
        TESTS
            .iter()
            .flat_map(|t| {
                [t.price, t.days, t.before_days]
                    .into_iter()
                    .chain(t.longer.iter().map(|l| l.days))
            })
            .map(|e| e.standing),
    );
    for l in LAST.iter() {
        all.extend(
            l.bands
                .iter()
                .map(|b| b.why.standing)
                .chain([l.test.standing, l.window.why.standing]),
        );
    }
    all.extend(
        WATER
            .iter()
            .map(|w| w.rule.standing)
            .chain(GAS.iter().map(|g| g.means.standing))
            .chain(COSTLY.iter().map(|c| c.why.standing)),
    );
    for f in FILTERS.iter() {
        all.extend(
            [
                Some(f.grade.standing),
                Some(f.flux.standing),
                f.holds.map(|e| e.standing),
                f.piece.map(|e| e.standing),
            ]
            .into_iter()
            .flatten(),
        );
    }
    all.extend(CAUSES.iter().map(|c| c.act.standing));
    all.extend(SIGNS.iter().map(|s| s.how.standing));
    all.extend(TYPICAL.iter().map(|t| t.value.standing));
    all.extend(BODIES.iter().flat_map(|b| {
        b.labels
            .iter()
            .map(|l| l.rule.standing)
            .chain([b.unlisted.standing])
            .chain(b.closed.map(|c| c.why.standing))
    }));
    for p in PROBLEMS.iter() {
        all.extend(
            p.bands
                .iter()
                .map(|b| b.why.standing)
                .chain([p.loss_percent.standing]),
        );
        all.extend(
            p.first
                .iter()
                .chain(p.errors)
                .chain(p.no_cure)
                .chain(p.smell.iter().map(|s| &s.words))
                .map(|f| f.standing),
        );
    }
    all
}

#[cfg(test)]
mod tests {
    use super::compile::{Input, compile};
    use super::packed::{Packer, Unpacker};
    use super::{Colour, DataFile, NeedBand, Problem, Unpack};
    use std::collections::BTreeSet;

    const GOOD: &str = include_str!("data/00-bentonite.toml");

    fn wrong(from: &str, to: &str) -> String {
        assert!(GOOD.contains(from), "{from}");
        let errors = compile(&[Input {
            name: "one.toml".into(),
            text: GOOD.replacen(from, to, 1),
        }])
        .err()
        .unwrap_or_default();
        assert!(
            errors.iter().all(|e| e.starts_with("one.toml")),
            "{errors:?}"
        );
        errors.join("\n")
    }

    #[test]
    fn a_good_file_compiles() {
        let packed = compile(&[Input {
            name: "one.toml".into(),
            text: GOOD.into(),
        }])
        .map_err(|errors| errors.join("\n"))
        .unwrap();
        assert!(packed.texts.starts_with("B2\n") && packed.bytes.len() > 100);
    }

    #[test]
    fn each_mistake_is_named_with_its_place() {
        assert!(
            wrong("source = \"B2\" },", "source = \"B9\" },")
                .contains("treatment `bentonite_sodium`: mechanism cites `B9`")
        );
        assert!(
            wrong(
                "standing = \"read\", source = \"I10\"",
                "standing = \"read\""
            )
            .contains("names no source")
        );
        assert!(
            wrong("low = 4.0, middle = 7.0", "low = 8.0, middle = 7.0")
                .contains("days must run low <= middle <= high")
        );
        assert!(
            wrong("origin = \"mineral\"", "origin = \"stone\"").contains("unknown variant `stone`")
        );
        assert!(wrong("summary =", "sumary =").contains("unknown field `sumary`"));
        assert!(wrong("key = \"P3\"", "key = \"B2\"").contains("source `B2` is a duplicate"));
        assert!(
            wrong("cautions = [\"silica_dust\"]", "cautions = [\"dragons\"]")
                .contains("caution `dragons` is not known")
        );
        assert!(wrong("high = 0.98", "high = 1.98").contains("removes more than all"));
        let bound = "\nbounds = [{ on = \"turbidity\", careful = 9.0, most = 8.0, why = { text = \"So.\", standing = \"judgement\" } }]\nvoids = [";
        assert!(wrong("\nvoids = [", bound).contains("what is careful lies below it"));
        assert!(
            wrong("\nvoids = [", "\ngerm_barrier = [\"yeast\"]\nvoids = [")
                .contains("a barrier against germs needs its reason")
        );
        assert!(wrong("access = \"anyone\"", "access = \"licensed\"").contains("it gets no dose"));
    }

    /// A count of germs falls by powers of ten or is held; nothing else does so.
    #[test]
    fn a_share_of_germs_is_refused() {
        let spread = "low = 0.0, middle = 1.0, high = 3.0, standing = \"judgement\" }";
        let effect = |what: &str| {
            let row = format!("{{ process = \"heat\", {what} }},\n  {{ process = ");
            wrong("{ process = ", &row)
        };
        assert!(effect(&format!("on = \"germs\", logs = {{ {spread}")).is_empty());
        assert!(effect("on = \"yeast\", hurdle = \"cold\"").is_empty());
        let share = "removes = { low = 0.1, middle = 0.5, high = 0.9, standing = \"judgement\" }";
        for of in ["germs", "yeast", "brett", "brett_cells", "yeast_plate"] {
            let said = effect(&format!("on = \"{of}\", {share}"));
            assert!(said.contains("by powers of ten, not by a share"), "{said}");
        }
        for what in [
            format!("on = \"aroma\", logs = {{ {spread}"),
            "on = \"aroma\", hurdle = \"cold\"".to_string(),
            format!("on = \"germs\", hurdle = \"cold\", logs = {{ {spread}"),
        ] {
            let said = effect(&what);
            assert!(said.contains("germs alone are lowered"), "{what}: {said}");
        }
    }

    /// What is enough of germs is counted in powers of ten as well.
    #[test]
    fn what_is_enough_of_germs_is_no_share() {
        let why = "why = { text = \"So.\", standing = \"judgement\" }";
        let of = |problem: &str, rest: &str| {
            let row = format!("[[enough]]\nproblem = \"{problem}\"\n{rest}\n{why}\n");
            let facts = format!(
                "[[problem]]\nproblem = \"{problem}\"\nquantity = \"{}\"\nfirst = []\nloss_percent = {{ low = 1.0, middle = 2.0, high = 3.0, standing = \"judgement\" }}\n",
                if problem == "pinking" {
                    "pink"
                } else {
                    "germs"
                }
            );
            let text = facts + &row;
            let name = "one.toml".into();
            let errors = compile(&[Input { name, text }]).err();
            errors.unwrap_or_default().join("\n")
        };
        assert_eq!(of("microbes", "logs = 2.0"), "");
        assert_eq!(of("pinking", "left = 0.5"), "");
        let counted = "counted = { quantity = \"yeast_cells\", under = 0.0, why = { text = \"So.\", standing = \"judgement\" } }";
        for (problem, rest, said) in [
            ("microbes", "left = 0.1", "powers of ten lie above 0"),
            ("microbes", "logs = 0.0", "powers of ten lie above 0"),
            ("microbes", "logs = 2.0\nleft = 0.1", "powers of ten"),
            ("pinking", "logs = 2.0", "powers of ten"),
            (
                "microbes",
                &format!("logs = 2.0\n{counted}"),
                "some may be left",
            ),
        ] {
            assert!(
                of(problem, rest).contains(said),
                "{rest}: {}",
                of(problem, rest)
            );
        }
    }

    /// What the build says of the knowledge with one more row.
    fn with_row(row: &str) -> String {
        let mut inputs: Vec<Input> = std::fs::read_dir("src/knowledge/data")
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .map(|path| Input {
                name: path.file_name().unwrap().to_string_lossy().into_owned(),
                text: std::fs::read_to_string(&path).unwrap(),
            })
            .collect();
        inputs.sort_by(|a, b| a.name.cmp(&b.name));
        let why = "strength = \"order\"\nwhy = { text = \"So.\", standing = \"judgement\" }";
        inputs.push(Input {
            name: "99-more.toml".into(),
            text: format!("[[rule]]\nkey = \"more\"\n{row}\n{why}\n"),
        });
        compile(&inputs).err().unwrap_or_default().join("\n")
    }

    #[test]
    fn a_rule_on_order_is_refused_with_its_place() {
        let place = "99-more.toml: rule `more`: ";
        let said = |verdict: &str, rest: &str, what: &str| {
            let all = with_row(&format!("verdict = \"{verdict}\"\n{rest}"));
            assert!(all.contains(&format!("{place}{what}")), "{rest}: {all}");
        };
        let good = "about = [\"alginate\"]\nacts = [\"racking\"]";
        let why = "strength = \"order\"\nwhy = { text = \"So.\", standing = \"judgement\" }";
        let row = format!("verdict = \"goes_before\"\n{good}");
        let again = with_row(&format!("{row}\n{why}\n[[rule]]\nkey = \"more\"\n{row}"));
        assert!(again.contains("rule `more` is a duplicate"), "{again}");
        assert_eq!(with_row(&format!("verdict = \"goes_before\"\n{good}")), "");
        let acts = "about = [\"alginate\"]\nacts = [\"dragon\"]";
        said("goes_before", acts, "treatment `dragon` is not known");
        let own = "about = [\"alginate\"]\nacts = [\"alginate\"]";
        said("needs_after", own, "`alginate` stands in its own `acts`");
        said("needs_before", "about = [\"alginate\"]", "an order names");
        said(
            "apart",
            "acts = [\"alginate\"]\nhours = 2.0",
            "an order names",
        );
        said("apart", good, "acts that stand apart need their `hours`");
        said(
            "goes_before",
            &format!("{good}\nhours = 2.0"),
            "acts that stand apart",
        );
        let unless = format!("{good}\nunless = [\"centrifuge\"]");
        said("goes_before", &unless, "`unless` belongs to");
        let when = "when = [{ any = [{ colours = [\"red\"] }] }]";
        said(
            "caution",
            &format!("{good}\n{when}"),
            "`acts` belongs to an order",
        );
        said("caution", "about = [\"alginate\"]", "`when` needs a clause");
        let waits = format!("about = [\"alginate\"]\n{when}");
        said(
            "until_shown",
            &waits,
            "what waits names its acts, and one reading",
        );
    }

    /// A circle is named with the whole way round it; what holds in another colour makes none.
    #[test]
    fn no_act_goes_before_itself_or_asks_for_itself() {
        let round = "verdict = \"goes_before\"\nabout = [\"chill_static\"]\nacts = [\"pectinase\"]";
        let said = with_row(round);
        let way = said
            .lines()
            .find(|l| l.contains("an act goes before itself: "));
        let way = way.unwrap_or_else(|| panic!("{said}"));
        assert!(way.contains(" → chill_static → pectinase") || way.contains("pectinase → "));
        assert!(way.contains(".toml: rule `"), "{way}");
        let twice = "verdict = \"goes_before\"\nabout = [\"pectinase\"]\nacts = [\"flotation\"]";
        assert!(with_row(twice).contains(
            "99-more.toml: rule `more`: `pectinase` before `flotation` stands in \
             74-rules-order.toml: rule `enzyme_before_flotation` already"
        ));
        // Silica goes before gelatin in a white, after it in a red.
        let silica = "verdict = \"goes_before\"\nabout = [\"silica_sol\"]\nacts = [\"gelatin\"]";
        let red = format!("{silica}\nwhen = [{{ any = [{{ colours = [\"red\"] }}] }}]");
        assert!(with_row(&red).contains("an act goes before itself"));
        let asks = "verdict = \"needs_before\"\nabout = [\"pectinase\"]\nacts = [\"flotation\"]";
        assert!(with_row(asks).contains("an act asks for itself: "));
    }

    #[test]
    fn a_stability_needs_one_limit_and_a_test_with_its_price() {
        let good = r#"
            [[stability]]
            key = "iron"
            name = "Iron"
            lane = "air"
            quantity = "iron"
            error_share = 0.1
            error_plus = 0.0
            bands = [{ ceiling = 6.0, why = { text = "Below 6 mg/L.", standing = "common_practice" } }]
            test = { text = "By a laboratory.", standing = "common_practice" }
            window = { days = 1.0, why = { text = "A day.", standing = "judgement" } }
            [[test]]
            quantity = "iron"
            price = { low = 1.0, middle = 2.0, high = 3.0, standing = "judgement" }
            year = 2026
            days = { low = 1.0, middle = 2.0, high = 3.0, standing = "judgement" }
            before_days = { low = 1.0, middle = 2.0, high = 3.0, standing = "judgement" }
            place = "laboratory"
            sample_ml = 50.0
        "#;
        let errors = |from: &str, to: &str| {
            assert!(good.contains(from), "{from}");
            compile(&[Input {
                name: "one.toml".into(),
                text: good.replacen(from, to, 1),
            }])
            .err()
            .unwrap_or_default()
            .join("\n")
        };
        assert_eq!(errors("Iron", "Iron"), "");
        assert!(errors("lane = \"air\"", "").contains("lane"));
        assert!(
            errors(
                "[[test]]\n            quantity = \"iron\"",
                "[[test]]\n            quantity = \"copper\""
            )
            .contains("no test is listed")
        );
        assert!(
            errors("{ ceiling = 6.0,", "{ ceiling = 6.0, floor = 1.0,")
                .contains("a floor or a ceiling, not both")
        );
        assert!(errors("year = 2026", "year = 26").contains("the year of its price"));
        assert!(
            errors(
                "{ low = 1.0, middle = 2.0, high = 3.0, standing = \"judgement\" }\n            year",
                "{ low = -1.0, middle = 2.0, high = 3.0, standing = \"judgement\" }\n            year"
            )
            .contains("price is negative")
        );
    }

    /// The files of the knowledge, one of them with the first limit behind a text replaced.
    fn changed(file: &str, behind: &str, limit: &str) -> Result<&'static DataFile, Vec<String>> {
        let mut inputs: Vec<Input> = std::fs::read_dir("src/knowledge/data")
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .map(|path| Input {
                name: path.display().to_string(),
                text: std::fs::read_to_string(path).unwrap(),
            })
            .collect();
        let one = inputs.iter_mut().find(|i| i.name.ends_with(file)).unwrap();
        let at = one.text.find(behind).unwrap();
        let from = at + one.text[at..].find("ceiling = ").unwrap() + "ceiling = ".len();
        let to = from + one.text[from..].find(',').unwrap();
        one.text.replace_range(from..to, limit);
        let packed = compile(&inputs)?;
        let mut unpacker = Unpacker::new(packed.texts.leak(), packed.bytes.leak());
        Ok(Box::leak(Box::new(DataFile::unpack(&mut unpacker))))
    }

    /// The limit of the heat test stands in one place: problem, mild and hard test and every
    /// sentence follow it.
    #[test]
    fn a_limit_is_changed_in_one_place() {
        let all = changed("71-stabilities.toml", "key = \"protein\"", "0.75").unwrap();
        let problem = all.problem.iter().find(|p| p.problem == Problem::Protein);
        let tests = all.stability.iter().filter(|s| s.key.contains("protein"));
        let mut bands: Vec<&NeedBand> = tests.flat_map(|s| s.bands).collect();
        bands.extend(problem.unwrap().bands);
        // A rosé has a limit of its own in the hard test, for the test and the problem.
        let of_rose = |b: &&NeedBand| b.colours == [Colour::Rose];
        assert_eq!(bands.iter().filter(|b| of_rose(b)).count(), 2);
        bands.retain(|b| !of_rose(b));
        assert_eq!(bands.len(), 4);
        for band in bands {
            assert!(band.ceiling.is_some_and(|c| (c - 0.75).abs() < 1e-12));
            assert!(
                band.why.text.contains("below 0.75 NTU"),
                "{}",
                band.why.text
            );
        }
        let how = |s: &&super::Sign| s.how.text.contains("0.75 NTU or more over");
        assert_eq!(all.sign.iter().filter(how).count(), 1);
    }

    #[test]
    fn a_limit_that_is_not_there_is_named_with_its_place() {
        let wrong = |to: &str| {
            let limit = format!("\"{{limit {to}}}\"");
            let all = changed("50-problems.toml", "problem = \"protein\"", &limit);
            all.err().unwrap_or_default().join("\n")
        };
        let line = "50-problems.toml: line ";
        let unknown = wrong("protien");
        assert!(unknown.contains(line) && unknown.contains("is called `protien`"));
        assert!(wrong("calcium").contains("say the colour"));
        assert!(wrong("carbon_dioxide red").contains("no figure of its own"));
        assert!(wrong("protein_mild").contains("no figure of its own"));
        assert!(wrong("protein:.x").contains("`x` is no number"));
    }

    #[test]
    fn figures_and_texts_read_back_as_they_were() {
        let figures = [
            0.0,
            0.1,
            -0.25,
            1.0,
            299.6,
            0.000_001,
            -12_345.678,
            35.001,
            9e9,
            0.3,
            2.545,
        ];
        let mut to = Packer::default();
        for (i, f) in figures.iter().enumerate() {
            assert!(to.figure(*f).is_some(), "{f}");
            to.text(if i % 2 == 0 { "again" } else { "" });
            to.whole(i as u64 * 1000);
        }
        let texts: &'static str = to.texts.join("\n").leak();
        let mut from = Unpacker::new(texts, to.bytes.leak());
        for (i, f) in figures.iter().enumerate() {
            assert_eq!(from.figure().to_bits(), f.to_bits(), "{f}");
            assert_eq!(
                (from.text(), from.whole()),
                (if i % 2 == 0 { "again" } else { "" }, i as u64 * 1000)
            );
        }
        assert!(from.is_over());
        assert_eq!((from.whole(), from.figure(), from.text()), (0, 0.0, ""));
        assert!(
            Packer::default().figure(1.0 / 3.0).is_none()
                && Packer::default().figure(f64::NAN).is_none()
        );
    }

    /// Every key that a fact names as its source.
    fn cited(value: &serde_json::Value, all: &mut BTreeSet<String>) {
        use serde_json::Value;
        match value {
            Value::Object(fields) => {
                for (name, value) in fields {
                    match value {
                        Value::String(keys) if name == "source" || name == "second" => {
                            all.extend(keys.split(',').map(|key| key.trim().to_string()));
                        }
                        inner => cited(inner, all),
                    }
                }
            }
            Value::Array(list) => list.iter().for_each(|v| cited(v, all)),
            _ => {}
        }
    }

    #[test]
    fn every_source_is_cited() {
        let mut keys = BTreeSet::new();
        cited(
            &serde_json::to_value(super::everything()).unwrap(),
            &mut keys,
        );
        let unused: Vec<&str> = super::SOURCES
            .iter()
            .map(|s| s.key)
            .filter(|key| !keys.contains(*key))
            .collect();
        assert!(
            unused.is_empty(),
            "no fact in src/knowledge/data names these sources: cite or remove them: {unused:?}"
        );
    }

    /// The whole key counts: “P1” within “P10”, in a text or as the key of the source itself is no
    /// citation.
    #[test]
    fn a_source_is_cited_by_its_whole_key_alone() {
        let mut keys = BTreeSet::new();
        let facts = serde_json::json!({
            "source": [{ "key": "P1", "title": "I1" }],
            "law": [{ "text": "O1", "source": "P10, B2" }, { "why": { "source": "OIV" } }],
        });
        cited(&facts, &mut keys);
        assert_eq!(
            keys.iter().map(String::as_str).collect::<Vec<_>>(),
            ["B2", "OIV", "P10"]
        );
    }

    #[test]
    fn every_problem_has_its_facts() {
        assert_eq!(super::PROBLEMS.len(), super::Problem::ALL.len());
    }
    /// A nominal rating is never a barrier: some such sheets held bacteria and let yeast through.
    /// 0.65 µm holds yeast alone.
    #[test]
    fn only_absolute_membranes_heat_and_the_trained_agent_keep_germs_from_the_bottle() {
        use super::{Germ, TREATMENTS};
        let of = |germ: Germ| {
            TREATMENTS
                .iter()
                .filter(|t| t.germ_barrier.contains(&germ))
                .map(|t| t.key)
                .collect::<Vec<_>>()
        };
        assert_eq!(
            of(Germ::Bacteria),
            ["membrane_045", "pasteurisation_bottle"]
        );
        assert_eq!(
            of(Germ::Yeast),
            [
                "membrane_045",
                "membrane_065",
                "dmdc",
                "pasteurisation_bottle"
            ]
        );
    }
    /// A material that no rule names reads as one that no text lists, which a slip in its key would
    /// do too.
    #[test]
    fn every_material_has_its_law() {
        use super::{LAW, TREATMENTS};
        let without: Vec<_> = TREATMENTS
            .iter()
            .filter(|t| !LAW.iter().any(|r| r.materials.contains(&t.material)))
            .map(|t| format!("{} ({})", t.key, t.material))
            .collect();
        assert!(
            without.is_empty(),
            "no [[law]] in src/knowledge/data names the material of {without:?}: write what was read of it, `memory` where nothing was"
        );
    }
    #[test]
    fn every_law_has_its_body() {
        use super::{BODIES, Law};
        for law in Law::ALL {
            assert_eq!(
                BODIES.iter().filter(|b| b.law == *law).count(),
                1,
                "`Law` of wine/words.rs has {law:?}: write one [[body]] for it in 55-markets.toml or 59-law-others.toml"
            );
        }
    }
    /// Every treatment that may be chosen has one place in a route, in wine of any colour.
    #[test]
    fn every_treatment_has_its_place() {
        use super::{Access, Colour, PHASES, TREATMENTS};
        for colour in Colour::ALL {
            for t in TREATMENTS.iter().filter(|t| t.access != Access::Licensed) {
                let places = PHASES.iter().filter(|p| {
                    p.treatments.contains(&t.key)
                        && (p.colours.is_empty() || p.colours.contains(colour))
                });
                assert!(
                    places.count() >= 1,
                    "{} stands in no phase for {colour:?} wine, so that no route uses it: name it in one of 72-routes.toml",
                    t.key
                );
            }
        }
    }
}
