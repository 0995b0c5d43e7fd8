//! The whole advice for one wine: for each problem what to do first, what ranks, what was left out
//! and why; and what the
//! advice assumed. One engine for the page and for the example, equal to the byte.

use crate::answer::{AnswerKey, NO_MARKET};
use crate::derived::{self, Findings};
use crate::diagnosis::Diagnosis;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law;
use crate::obligations::obligations;
use crate::rules::{self, ByCause, Judged};
use crate::stability::{Stability, Status, stabilities};
use crate::state::KnownBy;
use crate::treatment::acceptability::{MeasureFirst, measure_first, nothing_done};
use crate::treatment::measuring::{Given, MeasureNext, measure_next};
use crate::treatment::ranking::{Ranked, first_read, rank, unsure};
use crate::treatment::scales;
use crate::treatment::setting::{Setting, Shared};
use crate::treatment::suit::LeftOut;
use crate::units::{day::Day, show};
use crate::wine::*;
use serde::Serialize;

/// Something the advice took for granted.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Assumption {
    /// What was not given.
    pub what: String,
    /// What was taken in its place.
    pub taken: String,
    /// How that is known.
    pub standing: Standing,
}

/// The band a problem needs, as used.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Need {
    /// The quantity.
    pub quantity: Quantity,
    /// Least, where there is one.
    pub floor: Option<f64>,
    /// Most, where there is one.
    pub ceiling: Option<f64>,
    /// The value it is held against.
    pub value: Option<f64>,
    /// How that value is known.
    pub value_by: Option<KnownBy>,
    /// Where the band comes from, in words.
    pub why: String,
    /// Source key of the band.
    pub source: String,
}

/// The advice for one problem.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ProblemAdvice {
    /// The problem.
    pub problem: Problem,
    /// The answer in one sentence.
    pub answer: String,
    /// What the answer says, as keys.
    pub says: Vec<AnswerKey>,
    /// The band it needs.
    pub need: Option<Need>,
    /// Find the cause, or measure first.
    pub first: Vec<&'static str>,
    /// Common errors.
    pub errors: Vec<&'static str>,
    /// What nothing cures.
    pub no_cure: Vec<&'static str>,
    /// What measuring the quantity would be worth; None where it was measured.
    pub measure: Option<MeasureFirst>,
    /// What doing nothing is expected to lose, money per hL.
    pub nothing_per_hl: f64,
    /// What can be used, best first.
    pub ranked: Vec<Ranked>,
    /// What was left out, and why.
    pub left_out: Vec<LeftOut>,
}

/// The advice for a wine.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Advice {
    /// Version of this file's shape.
    pub schema: u32,
    /// Name of the wine.
    pub wine: String,
    /// What holds of the law for the whole wine: borders of which nothing was read, schemes that
    /// were assumed.
    pub law: Vec<String>,
    /// One entry a problem.
    pub problems: Vec<ProblemAdvice>,
    /// What was assumed.
    pub assumed: Vec<Assumption>,
    /// What was typed and cannot be used.
    pub not_read: Vec<InputError>,
    /// Limits on SO2 and room left under them, in words, the tightest first.
    pub so2: Vec<String>,
    /// What the label must say in its markets.
    pub labels: Vec<LabelLine>,
    /// The stabilities a bottle needs.
    pub stabilities: Vec<Stability>,
    /// What to measure next over the whole wine.
    pub measure_next: MeasureNext,
    /// Causes by what was seen and tested; None where nothing was answered.
    pub diagnosis: Option<Diagnosis>,
    /// What the likely cause puts first, opens and closes.
    pub by_cause: Vec<ByCause>,
    /// What follows from the analyses.
    pub derived: Findings,
    /// The money all amounts are in.
    pub currency: String,
    /// What holds for all of it.
    pub notes: Vec<String>,
}

/// One rule on the label.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LabelLine {
    /// Body of law.
    pub law: Law,
    /// What it is about.
    pub about: &'static str,
    /// The rule.
    pub text: &'static str,
    /// How it is known.
    pub standing: Standing,
    /// Source key.
    pub source: &'static str,
}

/// Works out the advice. `today` decides only what is too late for the bottling day.
pub fn advise(dossier: &Dossier, today: Option<Day>) -> Advice {
    advise_with(dossier, today, TREATMENTS.rows())
}

/// The same over a given set of treatments, for tests.
pub fn advise_with(
    dossier: &Dossier,
    today: Option<Day>,
    treatments: &'static [Treatment],
) -> Advice {
    let days_left = dossier.days_left(today);
    let shared = Shared::of(dossier, days_left);
    let stabilities = stabilities(dossier);
    let owed = obligations(dossier, &dossier.to_do());
    let worked: Vec<Worked> = dossier
        .problems
        .iter()
        .filter_map(|p| Worked::of(dossier, shared, *p, treatments))
        .collect();
    let measure_next = if dossier.stage == Some(Stage::Bottled) {
        MeasureNext::default()
    } else {
        let named: Vec<(Setting, &[Ranked])> = worked.iter().map(Worked::list).collect();
        let given = Given {
            shared,
            stabilities: &stabilities,
            owed: &owed,
            named: &named,
            today,
        };
        measure_next(dossier, given)
    };
    let problems: Vec<ProblemAdvice> = worked.into_iter().map(|w| w.advice(dossier)).collect();
    Advice {
        schema: 1,
        wine: dossier.name.clone(),
        notes: notes(dossier, days_left),
        assumed: assumed(dossier),
        not_read: dossier.errors.clone(),
        so2: so2_words(dossier),
        labels: labels(dossier),
        stabilities,
        measure_next,
        diagnosis: dossier.diagnosis().cloned(),
        currency: dossier.currency.clone(),
        by_cause: rules::by_cause(dossier),
        law: law::said(
            dossier,
            &problems
                .iter()
                .flat_map(|p| &p.ranked)
                .flat_map(|r| &r.law)
                .collect::<Vec<_>>(),
        ),
        derived: derived::findings(dossier),
        problems,
    }
}

/// A need of a wine, worked out once for its answer and for what is measured next.
struct Worked {
    setting: Setting,
    /// What the rules say of each treatment for it.
    judged: Vec<Judged>,
    /// What can be used, best first.
    ranked: Vec<Ranked>,
    left_out: Vec<LeftOut>,
}

impl Worked {
    fn of(
        dossier: &Dossier,
        shared: Shared,
        problem: Problem,
        treatments: &'static [Treatment],
    ) -> Option<Worked> {
        let setting = Setting::of(dossier, shared, problem)?;
        let judged = rules::judge(dossier, problem, treatments);
        let (ranked, left_out) = rank(dossier, &setting, &judged);
        Some(Worked {
            setting,
            judged,
            ranked,
            left_out,
        })
    }

    fn list(&self) -> (Setting, &[Ranked]) {
        (self.setting, self.ranked.as_slice())
    }

    /// The band it needs, with what it is held against.
    fn need(&self) -> Option<Need> {
        let (band, known) = (self.setting.band?, self.setting.known);
        Some(Need {
            quantity: self.setting.read,
            floor: band.floor,
            ceiling: band.ceiling,
            value: known.map(|k| k.estimate.middle),
            value_by: known.map(|k| k.by),
            why: band.why.text.to_string(),
            source: band.why.source.to_string(),
        })
    }

    fn advice(self, dossier: &Dossier) -> ProblemAdvice {
        let need = self.need();
        let (says, answer) = if dossier.stage == Some(Stage::Bottled) {
            crate::obligations::in_bottle(dossier, Some(self.setting.problem.problem))
        } else {
            answer(&self, need.as_ref())
        };
        let (says, answer) = self.with_honest(dossier, says, answer);
        let facts = self.setting.problem;
        ProblemAdvice {
            problem: facts.problem,
            answer,
            says,
            measure: measure_first(&self.setting, &self.ranked),
            nothing_per_hl: nothing_done(&self.setting),
            need,
            first: facts.first.iter().map(|f| f.text).collect(),
            errors: facts.errors.iter().map(|f| f.text).collect(),
            no_cure: facts.no_cure.iter().map(|f| f.text).collect(),
            ranked: self.ranked,
            left_out: self.left_out,
        }
    }

    /// An answer with what is to be said beside it that is no treatment; nothing where none is
    /// called for.
    fn with_honest(
        &self,
        dossier: &Dossier,
        mut says: Vec<AnswerKey>,
        mut answer: String,
    ) -> (Vec<AnswerKey>, String) {
        let called_for =
            |k: &AnswerKey| !matches!(k, AnswerKey::NoTreatment | AnswerKey::TakeNoMore);
        if says.iter().all(called_for) {
            for said in rules::honest(dossier, self.setting.problem.problem, &self.judged) {
                // What the answer begins with is not said again.
                if said.key == AnswerKey::NothingCures && says.contains(&said.key) {
                    continue;
                }
                said.behind(&mut answer, &mut says);
            }
        }
        (says, answer)
    }
}

/// The label follows where it is sold; where that is not said, where it is made.
fn labels(dossier: &Dossier) -> Vec<LabelLine> {
    let mut laws: Vec<Law> = law::body::of_wine(dossier)
        .into_iter()
        .filter(|(m, _)| dossier.sold_in.is_empty() || dossier.sold_in.contains(m))
        .map(|(_, l)| l)
        .collect();
    laws.dedup();
    BODIES
        .iter()
        .filter(|b| laws.contains(&b.law))
        .flat_map(|b| {
            b.labels.iter().map(|l| LabelLine {
                law: b.law,
                about: l.about,
                text: l.rule.text,
                standing: l.rule.standing,
                source: l.rule.source,
            })
        })
        .collect()
}

/// Calls `with` with what the ranking of a problem needs; None where the problem has no facts.
pub fn setting<T>(
    dossier: &Dossier,
    problem: Problem,
    today: Option<Day>,
    with: impl FnOnce(&Setting) -> T,
) -> Option<T> {
    let shared = Shared::of(dossier, dossier.days_left(today));
    Setting::of(dossier, shared, problem).as_ref().map(with)
}

/// What is to be measured before anything else, as keys and as the beginning of the answer.
fn measure_lead(setting: &Setting, need: Option<&Need>) -> (Vec<AnswerKey>, String) {
    let Some(n) = need else {
        return (Vec::new(), String::new());
    };
    let (name, unit) = (n.quantity.label(), n.quantity.facts().unit);
    let (key, text) = match n.value_by {
        Some(KnownBy::Voided) => (
            AnswerKey::MeasureAgain,
            format!(
                "{name} was measured before the last change of the wine: measure again first. "
            ),
        ),
        Some(KnownBy::AtMost) => {
            let below = show::plain(n.value.unwrap_or(0.0));
            (
                AnswerKey::MeasureFirst,
                format!(
                    "{name} was measured only as below {below} {unit}, which does not tell: measure it more finely first. "
                ),
            )
        }
        Some(KnownBy::Measured) => return (Vec::new(), String::new()),
        _ if setting.unreadable => (
            AnswerKey::MendFirst,
            format!(
                "What was typed for {} cannot be read: mend it first. ",
                show::inside(name)
            ),
        ),
        _ => (
            AnswerKey::MeasureFirst,
            format!("{name} was not measured: measure first. "),
        ),
    };
    (vec![key], text)
}

/// The answer for a problem: what it says as keys, and the sentence.
fn answer(worked: &Worked, need: Option<&Need>) -> (Vec<AnswerKey>, String) {
    let (setting, ranked) = (&worked.setting, worked.ranked.as_slice());
    let facts = setting.problem;
    if let Some(n) = need
        && let (Some(value), Some(KnownBy::AtMost)) = (n.value, n.value_by)
        && n.floor.is_none()
        && n.ceiling.is_none_or(|c| value < c)
    {
        let unit = n.quantity.facts().unit;
        let text = format!(
            "Measured as below {} {unit}, this lies inside the limit: no treatment is called for. Wait, and test again after any blend, fining or addition.",
            show::plain(value)
        );
        return (vec![AnswerKey::NoTreatment], text);
    }
    if let Some(n) = need
        && let (Some(value), Some(KnownBy::Measured)) = (n.value, n.value_by)
    {
        let unit = n.quantity.facts().unit;
        let inside = n.ceiling.is_none_or(|c| value < c) && n.floor.is_none_or(|f| value >= f);
        if inside && setting.status == Status::Doubtful {
            let text = format!(
                "Measured at {} {unit}, this lies inside the limit, but too near it for the error of a reading: measure again before any treatment.",
                show::plain(value)
            );
            return (vec![AnswerKey::MeasureAgain], text);
        }
        if inside {
            let text = format!(
                "Measured at {} {unit}, this lies inside the limit: no treatment is called for. Wait, and test again after any blend, fining or addition.",
                show::plain(value)
            );
            return (vec![AnswerKey::NoTreatment], text);
        }
        if n.floor.is_some_and(|f| value < f) {
            let text = format!(
                "Measured at {} {unit}, this lies below {} {unit}: it is too clear already. Take nothing more out of it.",
                show::plain(value),
                show::plain(n.floor.unwrap_or(0.0))
            );
            return (vec![AnswerKey::TakeNoMore], text);
        }
    }
    if let Some(few) = few_enough(setting) {
        return (vec![AnswerKey::NoTreatment], few);
    }
    if let Some(food) = setting.food
        && ranked.iter().all(|r| r.never_enough)
    {
        return (
            vec![AnswerKey::NoBarrier],
            format!(
                "{} The rest below only helps.",
                setting.shared.fed.no_barrier(food)
            ),
        );
    }
    // What was given since the last reading may have been enough.
    if let Some(held) = rules::held_back(&worked.judged, facts.problem) {
        let (mut says, lead) = measure_lead(setting, need);
        if !says.contains(&AnswerKey::MeasureAgain) {
            says.push(AnswerKey::MeasureAgain);
        }
        return (says, format!("{lead}{held}"));
    }
    let cures = ranked.iter().any(|r| !r.helper);
    // What only holds germs cures nothing, and yet is what may be done.
    let held = !ranked.is_empty() && ranked.iter().all(|r| r.stops.is_some());
    if let (false, false, Some(none)) = (cures, held, facts.no_cure.first()) {
        let mut says = vec![AnswerKey::NothingCures];
        let put = ranked.first().map(|r| put_first(r, ranked, &mut says));
        let put = put.unwrap_or_default();
        return (says, format!("Nothing here cures this. {}{put}", none.text));
    }
    let Some(first) = ranked.first() else {
        let text = "Nothing that is known here fits this wine, its markets and its claims. Below is what was left out and why; a laboratory is the next step.";
        return (
            vec![AnswerKey::NothingFits, AnswerKey::Laboratory],
            text.into(),
        );
    };
    let (mut says, lead) = measure_lead(setting, need);
    let late = match setting.shared.days_left {
        Some(days) if days < 0 => {
            says.push(AnswerKey::DayPassed);
            "The bottling day has passed: set another. ".to_string()
        }
        Some(days) if first.too_late => {
            says.push(AnswerKey::TooLate);
            let away = show::days(days as f64, days as f64);
            format!(
                "Bottling is {away} away: {} cannot be done by then. Move the day. ",
                show::inside(first.name)
            )
        }
        _ => String::new(),
    };
    let lead = late + &lead;
    let read = first_read(ranked);
    let (law_says, sure) = match first.legality {
        Some(law::Legality::NotKnown) => (
            Some(AnswerKey::ConfirmLaw),
            NOT_KNOWN.to_string() + &of_those_read(read),
        ),
        Some(law::Legality::Believed) => (
            Some(AnswerKey::ConfirmLaw),
            BELIEVED.to_string() + &of_those_read(read),
        ),
        None => (Some(AnswerKey::NoLawChecked), NO_MARKET.to_string()),
        _ => (None, String::new()),
    };
    let put = !first.preferred.is_empty();
    let hired = hire(first);
    let hires = !hired.is_empty() || read.is_some_and(|r| !r.hire.is_empty());
    if first.helper
        && !put
        && first.hire.is_empty()
        && let Some(stronger) = ranked.iter().find(|r| !r.helper)
        && !stronger.hire.is_empty()
    {
        let confirm = if unsure(stronger) { NOT_KNOWN } else { "" };
        let text = format!(
            "{lead}What needs no costly equipment only {}: {}. {}{confirm}",
            little(first),
            first.name,
            with_hire(stronger)
        );
        says.extend([AnswerKey::OnlyHelps, AnswerKey::Hire]);
        says.extend(unsure(stronger).then_some(AnswerKey::ConfirmLaw));
        return (says, text);
    }
    if first.helper
        && !put
        && let Some(stronger) = ranked.iter().find(|r| !r.helper)
    {
        says.extend([AnswerKey::OnlyHelps, AnswerKey::ConfirmLaw]);
        let text = format!(
            "{lead}What the law is known or believed to permit here only {}: {}. {}",
            little(first),
            first.name,
            once_confirmed(stronger)
        );
        return (says, text);
    }
    if first.helper && !cures {
        says.extend(
            [AnswerKey::OnlyHelps, AnswerKey::Laboratory]
                .into_iter()
                .chain(law_says),
        );
        let put = put_first(first, ranked, &mut says);
        let most = if held {
            "lowers the count of the germs"
        } else {
            "does more than help a little"
        };
        let text = format!(
            "{lead}Nothing that fits this wine {most}; {} comes first. A laboratory is the next step.{sure}{put}",
            first.name
        );
        return (says, text);
    }
    // Those that come first in one draw of ten or more.
    let close: Vec<&Ranked> = ranked
        .iter()
        .filter(|r| r.rank == 1 && (r.key == first.key || r.first_in >= 0.1))
        .take(4)
        .collect();
    let names: Vec<&str> = close.iter().map(|r| r.name).collect();
    let trial = close.iter().any(|r| {
        TREATMENTS
            .iter()
            .any(|t| t.key == r.key && t.dose.is_some_and(|d| d.by_trial))
    });
    says.extend(trial.then_some(AnswerKey::BenchTrial));
    says.push(AnswerKey::Begin);
    let begin = if trial {
        "On a bench trial, begin"
    } else {
        "Begin"
    };
    let apart = if names.len() > 1 {
        says.push(AnswerKey::NotToldApart);
        "; the figures do not tell them apart".to_string()
    } else if first.first_in < 0.995 {
        format!(
            ", first in {} of 100 draws",
            show::fixed(first.first_in * 100.0, 0)
        )
    } else {
        String::new()
    };
    says.extend(law_says);
    says.extend(hires.then_some(AnswerKey::Hire));
    let put = put_first(first, ranked, &mut says);
    (
        says,
        format!(
            "{lead}{begin} with {}{apart}.{sure}{hired}{put}",
            list(&names)
        ),
    )
}

/// That so few germs were counted that nothing is called for, where no food asks for a barrier.
fn few_enough(setting: &Setting) -> Option<String> {
    let few = setting.germs?.counted.filter(|c| c.asks <= 0.0)?;
    if setting
        .shared
        .fed
        .food_in_bottle(setting.problem.problem)
        .is_some()
    {
        return None;
    }
    let known = few.known;
    let below = if known.by == KnownBy::AtMost {
        "< "
    } else {
        ""
    };
    let (value, unit) = (known.estimate.high, few.quantity.facts().unit);
    Some(format!(
        "Counted at {below}{} {unit}, this lies inside the limit: no treatment is called for. Wait, and count again before the bottling.",
        show::plain(value)
    ))
}

/// What an act does that is not enough.
fn little(r: &Ranked) -> &'static str {
    if r.stops.is_some() {
        "stops growth and kills nothing"
    } else {
        "helps a little"
    }
}

/// What does more, with equipment that may be hired.
fn with_hire(stronger: &Ranked) -> String {
    format!(
        "{} does more, with equipment that you may hire: {}.",
        stronger.name,
        kits(stronger)
    )
}

/// What does more, once the law is sure.
fn once_confirmed(stronger: &Ranked) -> String {
    format!(
        "{} does more, once the authority or the certifier confirms it.",
        stronger.name
    )
}

/// That a rule puts the first of a list before the others, and what does more where it only helps;
/// nothing where no rule does.
fn put_first(first: &Ranked, ranked: &[Ranked], says: &mut Vec<AnswerKey>) -> String {
    let Some(ruling) = first.preferred.first() else {
        return String::new();
    };
    says.push(AnswerKey::PutFirst);
    let put = ruling.first(first.name);
    let stronger = ranked.iter().find(|r| !r.helper).filter(|_| first.helper);
    let Some(stronger) = stronger else {
        return format!(" {put}");
    };
    says.push(AnswerKey::OnlyHelps);
    let mut say = |key: AnswerKey| says.extend((!says.contains(&key)).then_some(key));
    let more = if !stronger.hire.is_empty() {
        say(AnswerKey::Hire);
        with_hire(stronger)
    } else if unsure(stronger) {
        say(AnswerKey::ConfirmLaw);
        once_confirmed(stronger)
    } else {
        format!("{} does more beside it.", stronger.name)
    };
    format!(" {put} By itself it {}. {more}", little(first))
}

/// What is said of a first place whose law is not known.
const NOT_KNOWN: &str = " Confirm the law first: it is not known.";
/// And of one whose law is believed.
const BELIEVED: &str = " Confirm the law before it is given: it is believed, not read in whole.";

/// The first whose law was read, where it is not the first of all.
fn of_those_read(read: Option<&Ranked>) -> String {
    read.map_or(String::new(), |r| {
        let name = show::inside(r.name);
        if r.hire.is_empty() {
            format!(" Of those whose law was read, {name} comes first.")
        } else {
            format!(
                " Of those whose law was read, {name} comes first, with equipment that you may hire: {}.",
                kits(r)
            )
        }
    })
}

/// That the first takes some equipment that must be hired, since nothing else acts.
fn hire(first: &Ranked) -> String {
    if first.hire.is_empty() {
        String::new()
    } else {
        format!(" It takes equipment that you may hire: {}.", kits(first))
    }
}

fn kits(r: &Ranked) -> String {
    let names: Vec<&str> = r.hire.iter().map(|k| k.label()).collect();
    show::listed(&names)
}

/// “a, b or c”.
fn list(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => show::inside(one),
        [rest @ .., last] => format!("{} or {}", show::listed(rest), show::inside(last)),
    }
}

/// What stands in for what was not given, for whatever is worked out from the wine.
pub fn assumed(dossier: &Dossier) -> Vec<Assumption> {
    let per_point = scales::per_point(dossier);
    let share = |p: &Problem| (*p, scales::loss_share(dossier, *p));
    let untold = |p: &&Problem| dossier.loss_by(**p).is_none();
    let lost: Vec<(Problem, f64)> = dossier.problems.iter().filter(untold).map(share).collect();
    let mut all = Vec::new();
    let mut say = |what: &str, taken: String| {
        all.push(Assumption {
            what: what.into(),
            taken,
            standing: Standing::Judgement,
        })
    };
    if dossier.colour.is_none() {
        say("Colour", "not known: nothing is left out for colour".into());
    }
    if dossier.colour == Some(Colour::Orange) {
        say("Orange wine", "as white in law, as red in tannin".into());
    }
    if dossier.stage.is_none() {
        say("Stage", "not known: nothing is left out for stage".into());
    }
    if dossier.made_in.is_none() {
        say(
            "Country made in",
            if dossier.sold_in.is_empty() {
                "not known".into()
            } else {
                "the rules for wine made in the market itself".into()
            },
        );
    }
    if dossier.journey.is_none() {
        say(
            "Where it travels",
            "not said: the usual heat test, not the mild nor the hard one".into(),
        );
    }
    if dossier.sold_in.is_empty() {
        say(
            "Where it is sold",
            "not known: the law of no market of sale is checked".into(),
        );
    }
    if dossier.volume.given().is_none() {
        say(
            "Volume",
            format!("{} L", show::fixed(scales::LOT_LITRES, 0)),
        );
    }
    if dossier.value_per_hl.given().is_none() {
        say(
            "Value of the wine",
            format!("{} per hL", show::fixed(scales::VALUE_PER_HL, 0)),
        );
    }
    if dossier.loss.given().is_none() {
        for (problem, share) in lost {
            let share = show::percent(share);
            say(
                "Loss when a need is not met",
                format!("{}: {share} of the wine's value", problem.label()),
            );
        }
    }
    if dossier.cost_per_day.given().is_none() {
        say(
            "A day of delay",
            format!("{} per hL", show::plain(scales::PER_DAY)),
        );
    }
    if dossier.cost_per_point.given().is_none() {
        say(
            "A point of impact (1 % of aroma, colour or tannin)",
            format!("{} per hL", show::plain(per_point)),
        );
    }
    if dossier.currency == EURO {
        say(
            "Money",
            "euro, at the prices of the year shown with each; your own where you gave one".into(),
        );
    } else {
        say(
            "Money",
            format!(
                "{}; built-in prices are in euro and were left out: give your own",
                dossier.currency
            ),
        );
    }
    say(
        "A price that is not known",
        format!(
            "{}–{} per hL of wine, {} in the middle",
            show::plain(scales::UNKNOWN_PRICE[0]),
            show::plain(scales::UNKNOWN_PRICE[2]),
            show::plain(scales::UNKNOWN_PRICE[1])
        ),
    );
    if dossier.labour_per_hour.given().is_none() {
        say(
            "Labour",
            format!("{} per hour", show::fixed(scales::LABOUR_PER_HOUR, 0)),
        );
    }
    for which in Quantity::ALL.iter().copied().filter(|q| used(dossier, *q)) {
        if let Some(k) = dossier.state.get(which)
            && matches!(k.by, KnownBy::Typical | KnownBy::Voided | KnownBy::AtMost)
        {
            let unit = which.facts().unit;
            let why = match k.by {
                KnownBy::Voided => "measured before the last change, so anything from",
                KnownBy::AtMost => "measured only as below that, so anything from",
                _ => "typically",
            };
            all.push(Assumption {
                what: which.label().into(),
                taken: format!(
                    "{} {unit} ({why} {})",
                    show::plain(k.estimate.middle),
                    show::range(k.estimate.low, k.estimate.high)
                )
                .replace("  ", " "),
                standing: k.estimate.standing,
            });
        }
    }
    all
}

/// Quantities this slice of the advice really uses: those of the problems named.
fn used(dossier: &Dossier, which: Quantity) -> bool {
    PROBLEMS
        .iter()
        .any(|f| dossier.problems.contains(&f.problem) && f.quantity == which)
}

/// The tightest limit with the room under it, then every other that holds, then what was not read.
fn so2_words(dossier: &Dossier) -> Vec<String> {
    // A bound is taken as the most that it may be.
    let read = dossier
        .state
        .get(Quantity::TotalSo2)
        .filter(|k| matches!(k.by, KnownBy::Measured | KnownBy::AtMost));
    let (total, bound) = (
        read.map(|k| k.estimate.high),
        read.is_some_and(|k| k.by == KnownBy::AtMost),
    );
    let below = if bound { "< " } else { "" };
    let free = dossier
        .state
        .get(Quantity::FreeSo2)
        .filter(|k| k.by == KnownBy::Measured)
        .map(|k| k.estimate.middle);
    let whose = |l: &So2Limit| match l.schemes {
        [] => l
            .law
            .iter()
            .map(|l| l.label())
            .collect::<Vec<_>>()
            .join(", "),
        schemes => schemes
            .iter()
            .map(|s| s.label())
            .collect::<Vec<_>>()
            .join(", "),
    };
    let mut words = Vec::new();
    for l in law::so2_limits(dossier) {
        let from = format!("{}, {}", whose(l), l.article);
        let most = show::plain(l.most);
        if l.evidence == Evidence::Memory {
            words.push(format!("Total SO₂ is believed to be limited to {most} mg/L ({from}): not read, confirm first."));
            continue;
        }
        words.push(match total {
            Some(t) if t > l.most && bound => {
                format!("Total SO₂ may reach {most} mg/L ({from}); it was measured only as below {} mg/L.", show::plain(t))
            }
            Some(t) if t > l.most => format!("Total SO₂ {} mg/L is over the limit of {most} mg/L ({from}).", show::plain(t)),
            Some(t) if words.is_empty() => {
                format!("Total SO₂ {below}{} mg/L leaves {} mg/L under the limit of {most} mg/L ({from}).", show::plain(t), show::plain(l.most - t))
            }
            None if words.is_empty() => format!("Total SO₂ may reach {most} mg/L ({from}); it was not measured."),
            _ => format!("Total SO₂ may reach {most} mg/L ({from})."),
        });
        if let Some(most_free) = l.most_free {
            let over = free.is_some_and(|f| f > most_free);
            let what = if over { "is over" } else { "has" };
            words.push(format!(
                "Free SO₂ {what} a limit of {} mg/L ({from}).",
                show::plain(most_free)
            ));
        }
    }
    words
}

fn notes(dossier: &Dossier, days_left: Option<i64>) -> Vec<String> {
    let mut notes = vec![
        "No dose without its bench trial on this wine; test the tank again after it.".to_string(),
        "Law as read, with its date: confirm with the authority before treating.".to_string(),
    ];
    if dossier.style == Some(Style::Fruit) {
        notes.push(
            "Fruit wine: the law read here is that of grape wine and does not cover it.".into(),
        );
    }
    if days_left.is_some_and(|d| d < 0) {
        notes.push("The bottling day has passed.".into());
    }
    if dossier.problems.is_empty() {
        notes.push("No problem is named yet: say what is wrong to see treatments.".into());
    }
    notes
}
