//! Reads the data files, checks them and packs them into one blob. Used by the build script, and by
//! the tests of its
//! messages. Every problem is collected, so that one run names them all, each with its file and
//! entry.

use serde::Deserialize;
use std::collections::BTreeMap;

#[allow(dead_code, missing_docs)]
mod owned {
    use super::*;
    use crate_words::*;

    type Text = String;

    /// A list.
    #[derive(Debug, Deserialize)]
    #[serde(transparent)]
    pub struct List<T>(pub Vec<T>);
    impl<T> Default for List<T> {
        fn default() -> Self {
            List(Vec::new())
        }
    }

    /// A word of a closed set.
    #[derive(Debug, Deserialize, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
    #[serde(transparent)]
    pub struct W<T>(pub T);

    /// What can be packed; an error names what cannot.
    pub trait Pack {
        fn pack(&self, to: &mut Packer) -> Result<(), String>;
    }
    impl Pack for String {
        fn pack(&self, to: &mut Packer) -> Result<(), String> {
            if self.contains('\n') {
                return Err(format!("a text of several lines: {self}"));
            }
            to.text(self);
            Ok(())
        }
    }
    impl Pack for f64 {
        fn pack(&self, to: &mut Packer) -> Result<(), String> {
            to.figure(*self)
                .ok_or_else(|| format!("a figure with too many digits: {self}"))
        }
    }
    impl Pack for bool {
        fn pack(&self, to: &mut Packer) -> Result<(), String> {
            to.whole(u64::from(*self));
            Ok(())
        }
    }
    impl Pack for u16 {
        fn pack(&self, to: &mut Packer) -> Result<(), String> {
            to.whole(u64::from(*self));
            Ok(())
        }
    }
    impl<T: Word + PartialEq> Pack for W<T> {
        fn pack(&self, to: &mut Packer) -> Result<(), String> {
            to.whole(
                T::EVERY
                    .iter()
                    .position(|w| *w == self.0)
                    .unwrap_or_default() as u64,
            );
            Ok(())
        }
    }
    impl<T: Pack> Pack for Option<T> {
        fn pack(&self, to: &mut Packer) -> Result<(), String> {
            to.whole(u64::from(self.is_some()));
            self.as_ref().map_or(Ok(()), |x| x.pack(to))
        }
    }
    impl<T: Pack> Pack for List<T> {
        fn pack(&self, to: &mut Packer) -> Result<(), String> {
            to.whole(self.0.len() as u64);
            self.0.iter().try_for_each(|x| x.pack(to))
        }
    }

    macro_rules! shape {
        ($($(#[$meta:meta])* pub struct $name:ident { $($(#[$field_meta:meta])* pub $field:ident: $ty:ty,)* })*) => {$(
            $(#[$meta])* #[derive(Debug, Deserialize)] #[serde(deny_unknown_fields)] pub struct $name { $($(#[$field_meta])* pub $field: $ty,)* }
            impl Pack for $name {
                fn pack(&self, to: &mut Packer) -> Result<(), String> {
                    $(self.$field.pack(to).map_err(|e| format!("{}: {e}", stringify!($field)))?;)*
                    Ok(())
                }
            }
        )*};
    }
    include!("schema.rs");
}

#[path = "limits.rs"]
mod limits;
#[path = "orders.rs"]
mod orders;

use super::packed::Packer;
use super::words as crate_words;
use owned::*;

/// One named file to compile.
pub struct Input {
    /// Name shown in messages.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// Everything found, in the order of the files.
struct Gathered {
    files: Vec<(String, DataFile)>,
    errors: Vec<String>,
}

/// The two halves of the blob.
pub struct Packed {
    /// Texts, a line each.
    pub texts: String,
    /// Everything else.
    pub bytes: Vec<u8>,
}

/// Turns data files into the blob, or says everything that is wrong with them.
pub fn compile(inputs: &[Input]) -> Result<Packed, Vec<String>> {
    let mut all = Gathered {
        files: Vec::new(),
        errors: Vec::new(),
    };
    let limits = limits::Limits::of(inputs);
    for input in inputs {
        let text = match limits.fill(input) {
            Ok(text) => text,
            Err(errors) => {
                all.errors.extend(errors);
                continue;
            }
        };
        match toml::from_str::<DataFile>(&text) {
            Ok(file) => all.files.push((input.name.clone(), file)),
            Err(error) => all
                .errors
                .push(format!("{}: {}", input.name, error.to_string().trim())),
        }
    }
    if all.errors.is_empty() {
        all.check();
    }
    if all.errors.is_empty() {
        all.pack().map_err(|e| vec![e])
    } else {
        Err(all.errors)
    }
}

impl Gathered {
    fn check(&mut self) {
        let mut sources: BTreeMap<String, String> = BTreeMap::new();
        let mut treatments: BTreeMap<String, String> = BTreeMap::new();
        let mut cautions: BTreeMap<String, String> = BTreeMap::new();
        let mut causes: BTreeMap<String, String> = BTreeMap::new();
        let mut signs: BTreeMap<String, String> = BTreeMap::new();
        let mut rules: BTreeMap<String, String> = BTreeMap::new();
        let mut materials: Vec<String> = Vec::new();
        let tested: Vec<_> = self
            .files
            .iter()
            .flat_map(|(_, f)| f.test.0.iter().map(|t| t.quantity))
            .collect();
        let mut errors = Vec::new();
        for (name, file) in &self.files {
            let mut once = |seen: &mut BTreeMap<String, String>, kind: &str, key: &str| {
                if key.is_empty() {
                    errors.push(format!("{name}: a {kind} has an empty key"));
                } else if let Some(earlier) = seen.insert(key.to_string(), name.clone()) {
                    errors.push(format!(
                        "{name}: {kind} `{key}` is a duplicate (first in {earlier})"
                    ));
                }
            };
            file.source
                .0
                .iter()
                .for_each(|s| once(&mut sources, "source", &s.key));
            file.treatment
                .0
                .iter()
                .for_each(|t| once(&mut treatments, "treatment", &t.key));
            file.caution
                .0
                .iter()
                .for_each(|c| once(&mut cautions, "caution", &c.key));
            file.cause
                .0
                .iter()
                .for_each(|c| once(&mut causes, "cause", &c.key));
            file.sign
                .0
                .iter()
                .for_each(|x| once(&mut signs, "sign", &x.key));
            file.rule
                .0
                .iter()
                .for_each(|r| once(&mut rules, "rule", &r.key));
            materials.extend(file.treatment.0.iter().map(|t| t.material.clone()));
        }
        let mut check = Check {
            sources: &sources,
            errors: &mut errors,
            place: String::new(),
        };
        for (name, file) in &self.files {
            for t in &file.treatment.0 {
                check.place = format!("{name}: treatment `{}`", t.key);
                check.treatment(t, &cautions);
            }
            for b in &file.bench.0 {
                check.place = format!("{name}: bench rule on {:?}", b.about);
                check.fact("rule", &b.rule);
                b.treatments
                    .0
                    .iter()
                    .for_each(|k| check.known("treatment", k, &treatments));
            }
            for c in &file.caution.0 {
                check.place = format!("{name}: caution `{}`", c.key);
                check.fact("text", &c.text);
            }
            for p in &file.problem.0 {
                check.place = format!("{name}: problem `{:?}`", p.problem);
                check.positive("loss", &p.loss_percent);
                if p.loss_percent.high > 100.0 {
                    check.say("more than all of the value is lost");
                }
                p.first
                    .0
                    .iter()
                    .chain(&p.errors.0)
                    .chain(&p.no_cure.0)
                    .for_each(|f| check.fact("fact", f));
                if let Some(s) = &p.smell {
                    check.fact("smell", &s.words);
                    s.after
                        .0
                        .iter()
                        .for_each(|k| check.known("treatment", k, &treatments));
                }
                for band in &p.bands.0 {
                    check.fact("band", &band.why);
                    if band.floor.is_none() && band.ceiling.is_none() {
                        check.say("a band has neither floor nor ceiling");
                    }
                    if let (Some(floor), Some(ceiling)) = (band.floor, band.ceiling)
                        && floor >= ceiling
                    {
                        check.say("a band has its floor above its ceiling");
                    }
                }
            }
            for s in &file.stability.0 {
                check.place = format!("{name}: stability `{}`", s.key);
                check.fact("test", &s.test);
                check.window(&s.window);
                s.blind.0.iter().for_each(|f| check.fact("blind", f));
                s.shelf.0.iter().for_each(|n| check.fact("shelf", &n.note));
                if s.bands
                    .0
                    .iter()
                    .any(|b| b.floor.is_some() == b.ceiling.is_some())
                {
                    check.say("its limit is a floor or a ceiling, not both");
                }
                if !tested.contains(&s.quantity) {
                    check.say("no test is listed for its quantity");
                }
                s.bands.0.iter().for_each(|b| check.fact("band", &b.why));
                if let Some(r) = &s.barrier {
                    check.fact("barrier", &r.why);
                    r.also
                        .0
                        .iter()
                        .for_each(|k| check.known("treatment", k, &treatments));
                    if r.against.0.is_empty() || s.bands.0.iter().any(|b| b.ceiling.is_none()) {
                        check.say(
                            "a barrier is against germs, and in the place of a greatest reading",
                        );
                    }
                }
                if s.bands.0.is_empty()
                    || s.error_share < 0.0
                    || s.error_plus < 0.0
                    || s.error_share + s.error_plus == 0.0
                {
                    check.say("a stability needs a limit and an error");
                }
            }
            for p in &file.phase.0 {
                check.place = format!("{name}: phase `{:?}`", p.phase);
                check.fact("why", &p.why);
                p.treatments
                    .0
                    .iter()
                    .for_each(|k| check.known("treatment", k, &treatments));
            }
            for r in &file.rule.0 {
                check.place = format!("{name}: rule `{}`", r.key);
                check.rule(r, &treatments, &signs, &causes);
            }
            for h in &file.honest.0 {
                check.place = format!("{name}: answer `{}`", h.key);
                check.honest(h, &treatments, &signs, &causes);
            }
            for e in &file.enough.0 {
                check.place = format!("{name}: enough for {:?}", e.problem);
                check.fact("why", &e.why);
                let of = self.files.iter().flat_map(|(_, f)| &f.problem.0);
                let germs = of
                    .filter(|p| p.problem == e.problem)
                    .any(|p| p.quantity.0.is_germs());
                check.enough(e, germs);
            }
            for h in &file.hurdle.0 {
                check.place = format!("{name}: hurdle {:?}", h.hurdle);
                check.fact("why", &h.why);
                if h.leans_on.0.is_empty() {
                    check.say("a hurdle leans on something");
                }
            }
            for t in &file.test.0 {
                check.place = format!("{name}: test `{:?}`", t.quantity);
                for (what, e) in [
                    ("price", &t.price),
                    ("days", &t.days),
                    ("before_days", &t.before_days),
                ] {
                    check.positive(what, e);
                }
                t.longer
                    .0
                    .iter()
                    .for_each(|l| check.positive("longer", &l.days));
                if t.longer.0.iter().any(|l| l.after.0.is_empty()) {
                    check.say("a test that takes longer does so after an act");
                }
                if !(2000..=2100).contains(&t.year) || t.sample_ml.is_nan() || t.sample_ml < 0.0 {
                    check.say("a test needs the year of its price and a sample of 0 mL or more");
                }
            }
            for l in &file.last.0 {
                check.place = format!("{name}: last check `{}`", l.key);
                check.fact("test", &l.test);
                check.window(&l.window);
                l.bands.0.iter().for_each(|b| check.fact("band", &b.why));
                l.barrier_of
                    .0
                    .iter()
                    .for_each(|k| check.known("treatment", k, &treatments));
                if l.each_smell && l.quantity.is_some() {
                    check.say("a smell is tasted, not measured");
                }
                if l.quantity.is_some() == l.bands.0.is_empty() {
                    check.say("a quantity needs its bands, and bands their quantity");
                }
            }
            for w in &file.water.0 {
                check.place = format!("{name}: water in {:?}", w.law.0);
                check.fact("rule", &w.rule);
                if !(w.most_percent > 0.0 && w.most_percent < 100.0) {
                    check.say("a limit on water lies between 0 and 100 %");
                }
            }
            for (i, g) in file.gas.0.iter().enumerate() {
                check.place = format!("{name}: gas from {}", g.from);
                check.fact("means", &g.means);
                let before = i
                    .checked_sub(1)
                    .and_then(|b| file.gas.0.get(b))
                    .map_or(0.0, |b| b.from);
                if !(g.from.is_finite() && g.from > before) {
                    check.say("levels of gas lie above 0 and rise");
                }
            }
            for c in &file.costly.0 {
                check.place = format!("{name}: costly {:?}", c.kit);
                check.fact("why", &c.why);
            }
            for f in &file.filter.0 {
                check.place = format!("{name}: filter {:?}", f.treatments.0);
                check.fact("grade", &f.grade);
                f.treatments
                    .0
                    .iter()
                    .for_each(|k| check.known("treatment", k, &treatments));
                for (what, e) in [
                    ("flux", Some(&f.flux)),
                    ("holds", f.holds.as_ref()),
                    ("piece", f.piece.as_ref()),
                ] {
                    e.iter().for_each(|e| check.positive(what, e));
                    if e.is_some_and(|e| e.low <= 0.0) {
                        check.say("flow, hold and piece lie above 0");
                    }
                }
                if f.piece.is_some() == f.pieces.is_empty() {
                    check.say("a piece needs its name, and a name its piece");
                }
            }
            for c in &file.cause.0 {
                check.place = format!("{name}: cause `{}`", c.key);
                check.fact("act", &c.act);
                c.of.0.iter().for_each(|k| check.known("cause", k, &causes));
            }
            for s in &file.sign.0 {
                check.place = format!("{name}: sign `{}`", s.key);
                check.fact("how", &s.how);
                s.cautions
                    .0
                    .iter()
                    .for_each(|k| check.known("caution", k, &cautions));
                s.with
                    .0
                    .iter()
                    .for_each(|w| check.known("cause", &w.cause, &causes));
                if s.seen.is_some() && s.place.0 != crate_words::Place::Seen {
                    check.say("what is seen at once is found by looking");
                }
                if s.minutes.is_nan() || s.minutes < 0.5 {
                    check.say("it takes half a minute at least");
                }
            }
            for t in &file.typical.0 {
                check.place = format!("{name}: typical `{:?}`", t.quantity);
                check.estimate("value", &t.value);
            }
            let all_known = |check: &mut Check<'_>, list: &List<String>| {
                if list.0.is_empty() {
                    check.say("no material is named");
                }
                for m in list.0.iter().filter(|m| !materials.contains(m)) {
                    check.say(&format!("no treatment has the material `{m}`"));
                }
            };
            for l in &file.law.0 {
                check.place = format!("{name}: law on {:?} in {:?}", l.materials.0, l.law.0);
                check.cited("article", &l.article, &l.source);
                all_known(&mut check, &l.materials);
                check.second(l);
                if l.law.0.is_empty() {
                    check.say("no body of law is named");
                }
                for limit in &l.limits.0 {
                    if limit.value < 0.0 || !limit.value.is_finite() || limit.unit.is_empty() {
                        check.say("a limit has no unit or an impossible value");
                    }
                }
            }
            for o in &file.organic.0 {
                check.place = format!("{name}: organic {:?} in {:?}", o.materials.0, o.schemes.0);
                check.cited("text", &o.text, &o.source);
                all_known(&mut check, &o.materials);
            }
            for s in &file.so2.0 {
                check.place = format!("{name}: SO2 limit in {:?}", s.law.0);
                check.cited("article", &s.article, &s.source);
            }
            for a in &file.acceptance.0 {
                check.place = format!("{name}: acceptance {:?} to {:?}", a.made.0, a.sold.0);
                check.cited("article", &a.article, &a.source);
            }
            for b in &file.body.0 {
                check.place = format!("{name}: body of law {:?}", b.law);
                check.fact("unlisted", &b.unlisted);
                if let Some(c) = &b.closed {
                    check.fact("closed", &c.why);
                    if c.name.is_empty() || c.why.standing.0 != crate_words::Standing::Read {
                        check.say("a closed list has a name and was read");
                    }
                }
                b.labels.0.iter().for_each(|l| check.fact("label", &l.rule));
            }
        }
        let rows: Vec<orders::Row<'_>> = self
            .files
            .iter()
            .flat_map(|(name, file)| {
                file.rule.0.iter().map(move |rule| orders::Row {
                    place: format!("{name}: rule `{}`", rule.key),
                    rule,
                })
            })
            .collect();
        errors.extend(orders::faults(&rows));
        self.errors = errors;
    }

    /// All files as one, table by table.
    fn pack(self) -> Result<Packed, String> {
        let mut whole: Option<DataFile> = None;
        for (_, file) in self.files {
            match &mut whole {
                None => whole = Some(file),
                Some(all) => all.append(file),
            }
        }
        let mut to = Packer::default();
        if let Some(all) = whole {
            all.pack(&mut to)?;
        }
        Ok(Packed {
            texts: to.texts.join("\n"),
            bytes: to.bytes,
        })
    }
}

impl DataFile {
    fn append(&mut self, other: DataFile) {
        self.source.0.extend(other.source.0);
        self.treatment.0.extend(other.treatment.0);
        self.last.0.extend(other.last.0);
        self.water.0.extend(other.water.0);
        self.gas.0.extend(other.gas.0);
        self.costly.0.extend(other.costly.0);
        self.filter.0.extend(other.filter.0);
        self.bench.0.extend(other.bench.0);
        self.caution.0.extend(other.caution.0);
        self.problem.0.extend(other.problem.0);
        self.stability.0.extend(other.stability.0);
        self.phase.0.extend(other.phase.0);
        self.rule.0.extend(other.rule.0);
        self.honest.0.extend(other.honest.0);
        self.enough.0.extend(other.enough.0);
        self.hurdle.0.extend(other.hurdle.0);
        self.test.0.extend(other.test.0);
        self.cause.0.extend(other.cause.0);
        self.sign.0.extend(other.sign.0);
        self.typical.0.extend(other.typical.0);
        self.body.0.extend(other.body.0);
        self.acceptance.0.extend(other.acceptance.0);
        self.law.0.extend(other.law.0);
        self.organic.0.extend(other.organic.0);
        self.so2.0.extend(other.so2.0);
    }
}

struct Check<'a> {
    sources: &'a BTreeMap<String, String>,
    errors: &'a mut Vec<String>,
    place: String,
}

/// How many things a question asks.
fn asks(q: &Question) -> usize {
    [
        !q.done.0.is_empty(),
        !q.beside.0.is_empty(),
        q.sign.is_some(),
        q.cause.is_some(),
        q.cause_open,
        !q.named.0.is_empty(),
        q.over_limit.is_some(),
        q.adds.is_some(),
        q.above.is_some(),
        q.at_most.is_some(),
        q.unread.is_some(),
        q.shown.is_some(),
        !q.claims.0.is_empty(),
        !q.colours.0.is_empty(),
        !q.stages.0.is_empty(),
        !q.malolactic.0.is_empty(),
        q.act.is_some(),
    ]
    .into_iter()
    .filter(|asked| *asked)
    .count()
}

/// Whether a rule is about the order of acts, and so names others beside its own.
fn is_order(r: &Rule) -> bool {
    use crate_words::RuleVerdict as V;
    matches!(
        r.verdict.0,
        V::GoesBefore | V::NeedsAfter | V::NeedsBefore | V::Apart
    )
}

/// Whether a clause holds for as long as a reading is not shown, and asks nothing else.
fn waits(c: &Clause) -> bool {
    matches!(c.any.0.as_slice(), [q] if q.shown.is_some() && q.not)
}

impl Check<'_> {
    /// A rule names what there is, and each of its questions asks one thing.
    fn rule(
        &mut self,
        r: &Rule,
        treatments: &BTreeMap<String, String>,
        signs: &BTreeMap<String, String>,
        causes: &BTreeMap<String, String>,
    ) {
        self.fact("why", &r.why);
        if r.when.0.is_empty() && !is_order(r) {
            self.say("`when` needs a clause");
        }
        for key in r.about.0.iter().chain(&r.acts.0).chain(&r.unless.0) {
            self.known("treatment", key, treatments);
        }
        self.condition(&r.when.0, treatments, signs, causes);
        self.order(r);
    }

    /// An answer asks nothing of an act.
    fn honest(
        &mut self,
        h: &HonestRow,
        treatments: &BTreeMap<String, String>,
        signs: &BTreeMap<String, String>,
        causes: &BTreeMap<String, String>,
    ) {
        self.fact("why", &h.why);
        if h.needs.0.is_empty() {
            self.say("an answer names the needs it is said for");
        }
        let mut questions = h.when.0.iter().flat_map(|c| &c.any.0);
        if questions.any(|q| q.adds.is_some() || q.act.is_some()) {
            self.say("an answer asks nothing of an act");
        }
        self.condition(&h.when.0, treatments, signs, causes);
    }

    fn condition(
        &mut self,
        when: &[Clause],
        treatments: &BTreeMap<String, String>,
        signs: &BTreeMap<String, String>,
        causes: &BTreeMap<String, String>,
    ) {
        let questions = || when.iter().flat_map(|c| &c.any.0);
        if when.iter().any(|c| c.any.0.is_empty()) {
            self.say("each clause needs a question");
        }
        for key in questions().flat_map(|q| q.done.0.iter().chain(&q.beside.0)) {
            self.known("treatment", key, treatments);
        }
        for q in questions() {
            if asks(q) != 1 {
                self.say("a question asks exactly one thing");
            }
            q.sign.iter().for_each(|k| self.known("sign", k, signs));
            q.cause.iter().for_each(|k| self.known("cause", k, causes));
        }
    }

    /// A second text is one of our sources and stands beside a row from memory alone.
    fn second(&mut self, l: &LawRule) {
        self.source("second", crate_words::Standing::Memory, &l.second);
        if !l.second.is_empty() && l.evidence.0 != crate_words::Evidence::Memory {
            self.say("a second text stands beside a row from memory only");
        }
    }

    /// What is enough: powers of ten where germs are meant, else a share.
    fn enough(&mut self, e: &Enough, germs: bool) {
        let share = e.left.is_some_and(|left| left > 0.0 && left < 1.0);
        let logs = e.logs.is_some_and(|logs| logs > 0.0 && logs.is_finite());
        if germs != logs || germs == share {
            self.say("the share left lies between 0 and 1; of germs the powers of ten lie above 0");
        }
        let Some(counted) = &e.counted else { return };
        self.fact("counted", &counted.why);
        if !(germs && counted.under > 0.0 && counted.under.is_finite()) {
            self.say("what is counted is germs, and some may be left");
        }
    }

    /// What an effect does: a share of anything but germs; powers of ten or a hurdle of germs alone.
    fn effect(&mut self, e: &Effect) {
        if e.removes.is_none() && e.adds.is_none() && e.logs.is_none() && e.hurdle.is_none() {
            self.say(&format!("effect on {:?} neither removes nor adds", e.on));
        }
        if let Some(r) = &e.removes {
            self.positive("removes", r);
            if r.high > 1.0 {
                self.say(&format!("effect on {:?} removes more than all of it", e.on));
            }
        }
        if let Some(a) = &e.adds {
            self.estimate("adds", a);
        }
        if let Some(l) = &e.logs {
            self.positive("logs", l);
        }
        let of_germs = e.logs.is_some() || e.hurdle.is_some();
        if e.on.0.counts_germs() && (e.removes.is_some() || e.adds.is_some()) {
            self.say(&format!(
                "effect on {:?}: a count of germs falls by powers of ten, not by a share",
                e.on
            ));
        }
        if of_germs && (!e.on.0.is_germs() || e.logs.is_some() == e.hurdle.is_some()) {
            self.say(&format!(
                "effect on {:?}: germs alone are lowered by powers of ten or held by a hurdle, and not both",
                e.on
            ));
        }
    }

    /// What a rule on order names, and what belongs to no other rule.
    fn order(&mut self, r: &Rule) {
        use crate_words::RuleVerdict as V;
        let verdict = r.verdict.0;
        if is_order(r) && (r.about.0.is_empty() || r.acts.0.is_empty()) {
            self.say("an order names the acts that it is about, and those of `acts`");
        }
        if !is_order(r) && !r.acts.0.is_empty() {
            self.say("`acts` belongs to an order");
        }
        for key in r.about.0.iter().filter(|k| r.acts.0.contains(k)) {
            self.say(&format!("`{key}` stands in its own `acts`"));
        }
        if verdict != V::NeedsBefore && r.once {
            self.say("`once` belongs to what must come before");
        }
        if !matches!(verdict, V::NeedsAfter | V::NeedsBefore) && !r.unless.0.is_empty() {
            self.say("`unless` belongs to what must follow or come before");
        }
        if (verdict == V::Apart) != r.hours.is_some_and(|h| h > 0.0 && h.is_finite()) {
            self.say(
                "acts that stand apart need their `hours`, above 0, and no other rule has any",
            );
        }
        let waits = r.when.0.iter().filter(|c| waits(c)).count();
        if verdict == V::UntilShown && (waits != 1 || r.about.0.is_empty()) {
            self.say("what waits names its acts, and one reading that is not shown");
        }
    }

    fn say(&mut self, what: &str) {
        self.errors.push(format!("{}: {what}", self.place));
    }

    fn known(&mut self, kind: &str, key: &str, all: &BTreeMap<String, String>) {
        if !all.contains_key(key) {
            self.say(&format!("{kind} `{key}` is not known"));
        }
    }

    fn source(&mut self, what: &str, standing: crate_words::Standing, source: &str) {
        use crate_words::Standing;
        if source.is_empty() {
            if matches!(standing, Standing::Read | Standing::Derived) {
                self.say(&format!("{what} is {standing:?} but names no source"));
            }
        } else {
            for key in source.split(',').map(str::trim) {
                if !self.sources.contains_key(key) {
                    self.say(&format!("{what} cites `{key}`, which is not a source"));
                }
            }
        }
    }

    fn cited(&mut self, what: &str, text: &str, source: &str) {
        if text.is_empty() {
            self.say(&format!("{what} is empty"));
        }
        self.source(what, crate_words::Standing::Read, source);
    }

    fn fact(&mut self, what: &str, fact: &Fact) {
        if fact.text.trim().is_empty() {
            self.say(&format!("{what} has no text"));
        }
        self.source(what, fact.standing.0, &fact.source);
    }

    fn window(&mut self, w: &Window) {
        self.fact("window", &w.why);
        if !(0.0..=400.0).contains(&w.days) {
            self.say("a window is 0 to 400 days");
        }
    }

    fn estimate(&mut self, what: &str, e: &Estimate) {
        if !(e.low.is_finite() && e.high.is_finite() && e.low <= e.middle && e.middle <= e.high) {
            self.say(&format!(
                "{what} must run low <= middle <= high, but reads {} / {} / {}",
                e.low, e.middle, e.high
            ));
        }
        self.source(what, e.standing.0, &e.source);
    }

    fn positive(&mut self, what: &str, e: &Estimate) {
        self.estimate(what, e);
        if e.low < 0.0 {
            self.say(&format!("{what} is negative"));
        }
    }

    fn treatment(&mut self, t: &Treatment, cautions: &BTreeMap<String, String>) {
        if t.name.is_empty() || t.summary.is_empty() || t.material.is_empty() {
            self.say("name, summary and material must be given");
        }
        for (what, list) in [
            ("mechanism", &t.mechanism),
            ("label", &t.label),
            ("preparation", &t.preparation),
            ("contact", &t.contact),
            ("over", &t.over),
        ] {
            if list.0.is_empty() {
                self.say(&format!("`{what}` is empty: say at least one thing"));
            }
            list.0.iter().for_each(|f| self.fact(what, f));
        }
        self.fact("origin_note", &t.origin_note);
        t.disagree.0.iter().for_each(|f| self.fact("disagree", f));
        if t.stages.0.is_empty() {
            self.say("`stages` is empty");
        }
        self.positive("days", &t.days);
        self.positive("loss_percent", &t.loss_percent);
        self.positive("labour_hours", &t.labour_hours);
        for (what, e) in [
            ("energy_kwh_per_hl", &t.energy_kwh_per_hl),
            ("water_l_per_hl", &t.water_l_per_hl),
            ("longest_days", &t.longest_days),
            ("wait_days", &t.wait_days),
        ] {
            if let Some(e) = e {
                self.positive(what, e);
            }
        }
        if let Some(e) = &t.temperature {
            self.estimate("temperature", e);
            if t.coldest {
                self.say(
                    "a temperature of its own and the coldest that a wine bears exclude each other",
                );
            }
        }
        if let Some(e) = &t.slurry {
            self.estimate("slurry", e);
            if !(e.low > 0.0 && e.high <= 100.0) {
                self.say("a slurry has a strength above 0 and at most 100 % w/v");
            }
        }
        if let Some(p) = &t.price {
            self.positive("price", &p.amount);
            if !(2000..=2100).contains(&p.year) || p.currency.is_empty() {
                self.say("price needs its currency and year");
            }
        }
        for key in &t.cautions.0 {
            self.known("caution", key, cautions);
        }
        t.effects.0.iter().for_each(|e| self.effect(e));
        t.in_line.iter().for_each(|f| self.fact("in_line", f));
        for b in &t.bounds.0 {
            self.fact("bound", &b.why);
            b.shown.iter().for_each(|w| self.window(w));
            if !b.most.is_finite() || b.careful.is_some_and(|c| c.is_nan() || c >= b.most) {
                self.say("a bound needs a greatest reading, and what is careful lies below it");
            }
        }
        t.germ_barrier_why
            .iter()
            .for_each(|f| self.fact("germ_barrier_why", f));
        if t.germ_barrier.0.is_empty() != t.germ_barrier_why.is_none() {
            self.say("a barrier against germs needs its reason, and a reason its germs");
        }
        match &t.dose {
            Some(d) => {
                if matches!(
                    t.access.0,
                    crate_words::Access::Licensed | crate_words::Access::Trained
                ) {
                    self.say("only a licensed or trained person may do this: it gets no dose");
                }
                self.positive("dose", &d.range);
                if let Some(n) = &d.note {
                    self.fact("dose note", n);
                }
                if d.ladder.0.windows(2).any(|w| matches!(w, [a, b] if a >= b)) {
                    self.say("the ladder must ascend");
                }
                if d.by_trial && (d.ladder.0.len() < 3 || d.ladder.0.first() != Some(&0.0)) {
                    self.say("a dose found by trial needs a ladder of three rungs or more from 0");
                }
            }
            None => {
                if t.effects
                    .0
                    .iter()
                    .any(|e| matches!(e.process.0, crate_words::Process::Adsorption))
                    && t.access.0 != crate_words::Access::Licensed
                {
                    self.say("adsorption needs a dose");
                }
            }
        }
    }
}
