//! What the app says of a wine, in the words of the cases. Read from keys and values of the
//! reports, never from their sentences.

use super::words::Id;
use std::collections::{BTreeMap, BTreeSet};
use stillbright::advice::{Advice, ProblemAdvice, advise};
use stillbright::answer::AnswerKey;
use stillbright::dossier::Dossier;
use stillbright::knowledge::{PROBLEMS, TREATMENTS};
use stillbright::law::Legality;
use stillbright::route::{Routes, StepKind, routes};
use stillbright::units::day::Day;
use stillbright::wine::{Problem, Quantity, Stage, Wine};

/// A step of the first route.
pub struct Step {
    /// What it is in the words of the cases.
    pub ids: BTreeSet<Id>,
    /// Its key, or for a test what it measures.
    pub key: String,
    /// The colour in the cold is tested.
    pub tests_colour: bool,
}

/// What is said of one wine.
pub struct Said {
    pub wine: Wine,
    pub advice: Advice,
    /// Steps of the first route.
    pub steps: Vec<Step>,
    /// The first three verified of each list, where a treatment is called for.
    pub top: Vec<(Problem, Vec<&'static str>)>,
    /// Treatments of the first route.
    pub in_route: BTreeSet<Id>,
    /// All that is recommended.
    pub acts: BTreeSet<Id>,
    /// Answers that are no act, each with where it is said.
    pub answers: BTreeMap<Id, &'static str>,
}

/// Treatments of the app in the words of the cases, where they differ. Grades of one agent are one
/// treatment there.
#[rustfmt::skip]
const OWN_WORDS: [(&str, &[&str]); 44] = [
    ("bentonite_sodium", &["bentonite_na"]), ("bentonite_calcium", &["bentonite_ca"]), ("gelatin_high_bloom", &["gelatin"]),
    ("gelatin_low_bloom", &["gelatin"]), ("gelatin_liquid", &["gelatin"]), ("egg_albumin", &["egg_white"]), ("chitosan_metals", &["chitosan"]),
    ("copper_sulfate", &["copper"]), ("copper_citrate", &["copper"]), ("wait_rack", &["wait_and_rack", "settle"]), ("racking", &["rack"]),
    ("sheet_filtration", &["depth_sheets"]), ("sheets_coarse", &["depth_sheets"]), ("sheets_clarifying", &["depth_sheets"]),
    ("sheets_sterile", &["depth_sheets"]), ("lenticular", &["depth_sheets"]), ("crossflow_filtration", &["crossflow"]),
    ("membrane_08", &["membrane_080"]), ("membrane_12", &["membrane_120"]), ("earth_filtration", &["diatomaceous_earth"]),
    ("perlite_filtration", &["diatomaceous_earth"]), ("cellulose_filtration", &["diatomaceous_earth"]), ("barrel", &["barrel_maturation"]),
    ("glucanase", &["beta_glucanase"]), ("chill_static", &["static_chilling"]), ("contact_process", &["contact_seeding"]),
    ("cation_exchange", &["ion_exchange"]), ("mannoproteins", &["mannoprotein"]), ("tartaric_acid", &["acidify_tartaric"]),
    ("potassium_bicarbonate", &["deacidify"]), ("calcium_carbonate", &["deacidify"]), ("sulfur_dioxide", &["so2"]),
    ("pasteurisation", &["pasteurise"]), ("pasteurisation_bottle", &["pasteurise"]), ("ascorbic_acid", &["ascorbic"]), ("blending", &["blend"]), ("finish_alcoholic", &["finish_ferment"]),
    ("finish_malolactic", &["finish_mlf"]),
    // The cases have no word for these.
    ("fumaric_acid", &[]), ("kaolin", &[]), ("plant_fibre", &[]), ("alginate", &[]), ("phytate", &[]), ("membrane_carbon", &[]),
];

/// What a treatment of the app is called in the cases. One that has no word there stops the test:
/// give it one.
pub fn ids(key: &str, stage: Option<Stage>) -> Result<BTreeSet<Id>, String> {
    match (key, stage) {
        ("bentonite_sodium" | "bentonite_calcium", Some(Stage::Juice)) => {
            Id::read("bentonite_juice").map(|id| [id].into())
        }
        ("bentonite_sodium" | "bentonite_calcium", Some(Stage::Fermenting)) => {
            Id::read("bentonite_ferment").map(|id| [id].into())
        }
        _ => match OWN_WORDS.iter().find(|(own, _)| *own == key) {
            Some((_, words)) => words.iter().map(|w| Id::read(w)).collect(),
            None => Id::read(key).map(|id| [id].into()).map_err(|_| {
                format!("the cases have no word for the treatment `{key}`: add it to OWN_WORDS")
            }),
        },
    }
}

/// Every treatment of the app has a word in the cases, or is known to have none.
pub fn every_treatment_has_its_word() -> Result<(), String> {
    TREATMENTS
        .iter()
        .try_for_each(|t| ids(t.key, None).map(drop))?;
    match OWN_WORDS
        .iter()
        .find(|(own, _)| !TREATMENTS.iter().any(|t| t.key == *own))
    {
        Some((gone, _)) => Err(format!("`{gone}` of OWN_WORDS is no treatment of the app")),
        None => Ok(()),
    }
}

/// The problem that a reading of a quantity decides.
fn decides(quantity: Quantity) -> Option<Problem> {
    Some(match quantity {
        Quantity::PinkRise => Problem::Pinking,
        Quantity::BrownsInAir | Quantity::Oxygen => Problem::Browning,
        Quantity::ColdColour => Problem::Deposit,
        Quantity::BrettCells | Quantity::BrettPlate => Problem::Brettanomyces,
        Quantity::Ethylphenol => Problem::OffOdour,
        Quantity::Sugar => Problem::Refermentation,
        Quantity::Malic | Quantity::MolecularSo2 | Quantity::AceticRise | Quantity::Ullage => {
            Problem::Microbes
        }
        Quantity::HeatRiseMild | Quantity::HeatRiseHard => Problem::Protein,
        Quantity::ColdHold => Problem::Crystals,
        other => {
            return PROBLEMS
                .iter()
                .find(|p| p.quantity == other)
                .map(|p| p.problem);
        }
    })
}

impl Said {
    /// Asks the app.
    pub fn of(wine: Wine, today: Option<Day>) -> Result<Said, String> {
        let advice = advise(&Dossier::of(&wine), today);
        let found = routes(&Dossier::of(&wine), today);
        let steps = steps(&found, wine.stage, &wine.problems)?;
        let top: Vec<(Problem, Vec<&'static str>)> = advice
            .problems
            .iter()
            .map(|p| (p.problem, top(p)))
            .collect();
        let in_route: BTreeSet<Id> = steps
            .iter()
            .flat_map(|s| &s.ids)
            .filter(|id| !id.is_answer())
            .copied()
            .collect();
        let mut acts = in_route.clone();
        for key in top.iter().flat_map(|(_, keys)| keys) {
            acts.extend(ids(key, wine.stage)?);
        }
        // An answer of the app and an act of the cases.
        let declassify = |p: &ProblemAdvice| p.says.contains(&AnswerKey::Declassify);
        if advice.problems.iter().any(declassify) {
            let _new = acts.insert(Id::read("drink_early")?);
        }
        let answers = answers(&wine, &advice, &found)?;
        Ok(Said {
            wine,
            advice,
            steps,
            top,
            in_route,
            acts,
            answers,
        })
    }

    /// Whether something is recommended, or an answer given.
    pub fn says(&self, id: Id) -> bool {
        if id.is_answer() {
            self.answers.contains_key(&id)
        } else {
            self.acts.contains(&id)
        }
    }

    /// Keys of the steps of the first route.
    pub fn route(&self) -> String {
        let keys: Vec<&str> = self.steps.iter().map(|s| s.key.as_str()).collect();
        if keys.is_empty() {
            "none".into()
        } else {
            keys.join(", ")
        }
    }
}

fn steps(found: &Routes, stage: Option<Stage>, problems: &[Problem]) -> Result<Vec<Step>, String> {
    let first = found.routes.first().map_or(&[][..], |r| &r.steps);
    // What every route ends with is not said of this wine, but for a test of the day or of the bottles
    // that reads what one of its own needs is about.
    let own = |s: &&stillbright::route::Step| match s.kind {
        StepKind::Alongside | StepKind::Bottling => false,
        StepKind::Day | StepKind::Release => {
            let mut decided = s.measures.iter().filter_map(|q| decides(*q));
            decided.any(|p| problems.contains(&p))
        }
        _ => true,
    };
    first
        .iter()
        .filter(own)
        .map(|s| {
            let measures: Vec<&str> = s.measures.iter().map(|q| q.key()).collect();
            let (ids, key) = match s.kind {
                StepKind::Test => (
                    answer("measure_first")?,
                    format!("measure {}", measures.join("+")),
                ),
                StepKind::Retest | StepKind::Day | StepKind::Release => (
                    answer("retest")?,
                    format!("measure again {}", measures.join("+")),
                ),
                StepKind::Trial => (answer("bench_trial")?, format!("trial of {}", s.tries)),
                StepKind::Confirm => (BTreeSet::new(), format!("confirm {}", s.confirms)),
                _ => (ids(s.key, stage)?, s.key.to_string()),
            };
            Ok(Step {
                ids,
                key,
                tests_colour: s.measures.contains(&Quantity::ColdColour),
            })
        })
        .collect()
}

fn answer(word: &str) -> Result<BTreeSet<Id>, String> {
    Id::read(word).map(|id| [id].into())
}

/// The first three whose law was read or is believed; a believed one is marked on the page and counts
/// as recommended. Where no treatment is called for the list below is no
/// recommendation.
fn top(p: &stillbright::advice::ProblemAdvice) -> Vec<&'static str> {
    if p.says
        .iter()
        .any(|k| matches!(k, AnswerKey::NoTreatment | AnswerKey::TakeNoMore))
    {
        return Vec::new();
    }
    let verified = p
        .ranked
        .iter()
        .filter(|r| r.legality != Some(Legality::NotKnown) && r.organic_unsure.is_empty());
    verified.map(|r| r.key).take(3).collect()
}

/// Answers that are no act, where they are said of this wine.
fn answers(
    wine: &Wine,
    advice: &Advice,
    found: &Routes,
) -> Result<BTreeMap<Id, &'static str>, String> {
    let kinds: Vec<StepKind> = found
        .routes
        .first()
        .map_or(Vec::new(), |r| r.steps.iter().map(|s| s.kind).collect());
    let says = |keys: &[AnswerKey]| {
        advice
            .problems
            .iter()
            .flat_map(|p| &p.says)
            .chain(&found.says)
            .any(|k| keys.contains(k))
    };
    let next = &advice.measure_next;
    let for_a_problem = next
        .best
        .iter()
        .any(|b| decides(b.quantity).is_some_and(|p| wine.problems.contains(&p)));
    let where_said = [
        (
            "measure_first",
            [
                (
                    kinds.contains(&StepKind::Test),
                    "first route begins with a test",
                ),
                (
                    says(&[AnswerKey::MeasureFirst, AnswerKey::MeasureAgain]),
                    "answer of the need",
                ),
                (next.says.contains(&AnswerKey::MeasureFirst), "measure next"),
                (for_a_problem, "measure next, for a named need"),
                (
                    advice.diagnosis.as_ref().is_some_and(|d| d.next.is_some()),
                    "next test of the cause",
                ),
            ]
            .to_vec(),
        ),
        (
            "bench_trial",
            [
                (kinds.contains(&StepKind::Trial), "first route"),
                (says(&[AnswerKey::BenchTrial]), "answer of the need"),
            ]
            .to_vec(),
        ),
        (
            "retest",
            [
                (kinds.contains(&StepKind::Retest), "first route"),
                (says(&[AnswerKey::MeasureAgain]), "answer of the need"),
            ]
            .to_vec(),
        ),
        (
            "laboratory",
            [(says(&[AnswerKey::Laboratory]), "answer")].to_vec(),
        ),
        (
            "no_treatment",
            [(
                says(&[AnswerKey::NoTreatment, AnswerKey::TakeNoMore]),
                "answer",
            )]
            .to_vec(),
        ),
        (
            "none_cures",
            [(says(&[AnswerKey::NothingCures]), "answer")].to_vec(),
        ),
    ];
    let mut all = BTreeMap::new();
    for (word, places) in where_said {
        if let Some((_, place)) = places.into_iter().find(|(said, _)| *said) {
            all.insert(Id::read(word)?, place);
        }
    }
    Ok(all)
}
