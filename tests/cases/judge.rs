//! Whether what is said of a wine is what its case asks for.

use super::case::{Condition, Told, Unless, Wanted};
use super::said::{Said, ids};
use super::words::{Analysis, Claim, Gate, Id, Kind};
use std::collections::BTreeSet;
use stillbright::knowledge::{PROBLEMS, TREATMENTS};
use stillbright::law::Legality;
use stillbright::wine::{Kit, KitMeans, Malolactic, Quantity, Stage};

/// What a claim shuts out.
fn shut_out(claim: Claim) -> &'static [&'static str] {
    match claim {
        Claim::Vegan => &[
            "gelatin",
            "isinglass",
            "casein",
            "skim_milk",
            "egg_white",
            "lysozyme",
        ],
        Claim::OrganicEu => &[
            "pvpp",
            "pvi_pvp",
            "chitin_glucan",
            "cmc",
            "polyaspartate",
            "lysozyme",
            "sorbate",
            "dmdc",
            "ferrocyanide",
            "electrodialysis",
            "ion_exchange",
            "desulphite",
            "beta_glucanase",
            "protease_heat",
            "dl_tartaric",
            "calcium_tartrate_seed",
        ],
        Claim::NoPvpp => &["pvpp"],
        Claim::NoMilk => &["casein", "skim_milk"],
        Claim::NoAllergen => &[
            "casein",
            "skim_milk",
            "egg_white",
            "lysozyme",
            "wheat_protein",
        ],
        Claim::NoAddedSo2 => &["so2"],
    }
}

/// Conditions that the app states beside the need, each by the fact that states it.
const STATED: [(&str, Condition, &str); 3] = [
    ("sorbate", Condition::Step(Id("so2")), SORBATE),
    ("sorbate", Condition::Gate(Gate::MlfBlocked), SORBATE),
    (
        "chitosan",
        Condition::Gate(Gate::OtherHurdles),
        "Chitosan is no sole control: counts fell a thousandfold and rose again later.",
    ),
];
const SORBATE: &str = "Sorbate does not kill: it needs few yeasts, enough SO₂ and no lactic bacteria, or the wine smells of geranium.";

/// Each fact that states a condition is a fact of the app still.
pub fn every_stated_fact_is_known() -> Result<(), String> {
    let known = |text: &str| {
        PROBLEMS
            .iter()
            .any(|p| p.errors.iter().chain(p.first).any(|f| f.text == text))
    };
    match STATED.iter().find(|(.., text)| !known(text)) {
        Some((id, condition, text)) => Err(format!(
            "{id} and {}: no fact of the app reads “{text}”",
            condition.key()
        )),
        None => Ok(()),
    }
}

/// What was found; all but the hits and what is not judged should be empty.
#[derive(Debug, Default)]
pub struct Finding {
    /// What was expected and is recommended.
    pub hits: Vec<Id>,
    /// What was refused and is recommended, with where.
    pub refused: Vec<(Id, String)>,
    /// What is recommended though its conditions are not met.
    pub unmet: Vec<(Id, Vec<Condition>)>,
    /// Steps that the first route does not have in their order.
    pub missing: Vec<String>,
    /// Pairs that stand the wrong way round.
    pub turned: Vec<(Id, Id)>,
    /// Ranks that are turned, and how many pairs were seen: told, not judged.
    pub ranks: Vec<String>,
    pub ranks_seen: usize,
}

impl Finding {
    /// Something expected, nothing refused.
    pub fn first_score(&self) -> bool {
        !self.hits.is_empty() && self.refused.is_empty()
    }
    /// And every condition is met.
    fn conditions(&self) -> bool {
        self.first_score() && self.unmet.is_empty()
    }
    fn in_order(&self) -> bool {
        self.missing.is_empty() && self.turned.is_empty()
    }
    /// The same, and for a case about order its order.
    pub fn second_score(&self, kind: Kind) -> bool {
        self.conditions() && (kind != Kind::Order || self.in_order())
    }
    /// Everything, as is asked of a flip.
    pub fn all(&self) -> bool {
        self.conditions() && self.in_order()
    }
    /// Whether the order is right; None where the case gives none.
    pub fn order(&self, wanted: &Wanted) -> Option<bool> {
        (!wanted.expected_all_in_order.is_empty() || !wanted.refused_order.is_empty())
            .then(|| self.in_order())
    }

    /// What is wrong, in lines.
    pub fn reasons(&self, wanted: &Wanted) -> Vec<String> {
        let mut all = Vec::new();
        if self.hits.is_empty() {
            all.push(format!(
                "nothing expected is recommended: {}",
                names(&wanted.expected_any_of)
            ));
        }
        all.extend(
            self.refused
                .iter()
                .map(|(id, place)| format!("refused and recommended: {} ({place})", id.0)),
        );
        let keys = |c: &[Condition]| c.iter().map(|c| c.key()).collect::<Vec<_>>().join(", ");
        all.extend(self.unmet.iter().map(|(id, unmet)| {
            format!(
                "recommended without its condition: {} wants {}",
                id.0,
                keys(unmet)
            )
        }));
        if !self.missing.is_empty() {
            all.push(format!(
                "not in the first route, in this place: {}",
                self.missing.join(", ")
            ));
        }
        all.extend(
            self.turned
                .iter()
                .map(|(a, b)| format!("{} stands before {}", a.0, b.0)),
        );
        all
    }
}

/// “a, b”.
pub fn names(ids: &[Id]) -> String {
    ids.iter().map(|id| id.0).collect::<Vec<_>>().join(", ")
}

/// Holds what is said against what must follow.
pub fn judge(said: &Said, told: &Told, wanted: &Wanted) -> Result<Finding, String> {
    let mut refused: BTreeSet<Id> = wanted.refused.iter().copied().collect();
    for word in told.claims.iter().flat_map(|c| shut_out(*c)) {
        refused.insert(Id::read(word)?);
    }
    let mut finding = Finding {
        hits: wanted
            .expected_any_of
            .iter()
            .chain(&wanted.also_any)
            .copied()
            .filter(|id| said.says(*id))
            .collect(),
        ..Finding::default()
    };
    for id in refused.intersection(&said.acts) {
        finding.refused.push((*id, place_of(said, *id)?));
    }
    for Unless { treatment, unless } in wanted
        .refused_unless
        .iter()
        .filter(|u| said.acts.contains(&u.treatment))
    {
        let mut unmet = Vec::new();
        for condition in unless {
            if !met(said, told, *treatment, *condition)? {
                unmet.push(*condition);
            }
        }
        if !unmet.is_empty() {
            finding.unmet.push((*treatment, unmet));
        }
    }
    if wanted
        .order_only_with
        .is_none_or(|id| said.in_route.contains(&id))
    {
        finding.missing = missing(said, wanted);
    }
    finding.turned = wanted
        .refused_order
        .iter()
        .copied()
        .filter(|(a, b)| turned(said, *a, *b))
        .collect();
    for (a, b) in &wanted.outranks {
        rank(said, *a, *b, &mut finding)?;
    }
    Ok(finding)
}

/// Where something is recommended.
fn place_of(said: &Said, id: Id) -> Result<String, String> {
    if said.in_route.contains(&id) {
        return Ok("first route".into());
    }
    let mut lists = Vec::new();
    for (problem, keys) in &said.top {
        for key in keys {
            if ids(key, said.wine.stage)?.contains(&id) {
                lists.push(format!("{key} for {}", problem.key()));
            }
        }
    }
    Ok(lists.join(", "))
}

/// The place in the first route of the first of these steps from `from` on. An answer that comes
/// before any route stands before
/// its first step.
fn place(said: &Said, any: &[Id], from: usize) -> Option<usize> {
    let in_route = said
        .steps
        .iter()
        .enumerate()
        .skip(from)
        .find(|(_, s)| any.iter().any(|id| s.ids.contains(id)))
        .map(|(i, _)| i + 1);
    let before = || {
        any.iter().any(|id| {
            matches!(
                id.0,
                "measure_first" | "laboratory" | "no_treatment" | "none_cures"
            ) && said.answers.contains_key(id)
        })
    };
    in_route.or_else(|| (from == 0 && before()).then_some(0))
}

/// Steps that do not come, or not in their order.
fn missing(said: &Said, wanted: &Wanted) -> Vec<String> {
    let mut from = 0;
    let mut all = Vec::new();
    for any in &wanted.expected_all_in_order {
        match place(said, &any.0, if wanted.loose_order { 0 } else { from }) {
            Some(at) => from = at,
            None => all.push(any.to_string()),
        }
    }
    all
}

/// Whether the first route has `a` before `b`; ascorbic acid without any sulfur dioxide is before
/// it too.
fn turned(said: &Said, a: Id, b: Id) -> bool {
    if a.is_answer() || b.is_answer() {
        return false; // The list of the order tells.
    }
    let first = |id: Id| said.steps.iter().position(|s| s.ids.contains(&id));
    match (first(a), first(b)) {
        (Some(a), Some(b)) => a < b,
        (Some(_), None) => (a.0, b.0) == ("ascorbic", "so2"),
        _ => false,
    }
}

fn rank(said: &Said, a: Id, b: Id, finding: &mut Finding) -> Result<(), String> {
    for p in &said.advice.problems {
        let mut places = (None, None);
        for (i, r) in p.ranked.iter().enumerate() {
            let own = ids(r.key, said.wine.stage)?;
            places.0 = places.0.or(own.contains(&a).then_some(i));
            places.1 = places.1.or(own.contains(&b).then_some(i));
        }
        if let (Some(at_a), Some(at_b)) = places {
            finding.ranks_seen += 1;
            if at_b < at_a {
                finding
                    .ranks
                    .push(format!("{}: {} above {}", p.problem.key(), b.0, a.0));
            }
        }
    }
    Ok(())
}

/// Whether a condition of a treatment is met, or stated beside it.
fn met(said: &Said, told: &Told, treatment: Id, condition: Condition) -> Result<bool, String> {
    let stated = STATED
        .iter()
        .filter(|(id, c, _)| *id == treatment.0 && *c == condition);
    if stated.into_iter().any(|(.., text)| {
        said.advice
            .problems
            .iter()
            .any(|p| p.errors.iter().chain(&p.first).any(|f| f == text))
    }) {
        return Ok(true);
    }
    let here = said.steps.iter().position(|s| s.ids.contains(&treatment));
    let before = |word: &'static str| {
        said.steps
            .iter()
            .take(here.unwrap_or(usize::MAX))
            .any(|s| s.ids.contains(&Id(word)))
    };
    let figure = |q: Quantity| said.wine.analysis(q).and_then(Result::ok);
    let dosing_unit = || {
        said.wine
            .kit
            .get(&Kit::DosingUnit)
            .is_some_and(|k| k.means != KitMeans::No)
    };
    let any_in_route =
        |words: &[&'static str]| words.iter().any(|w| said.in_route.contains(&Id(w)));
    Ok(match condition {
        Condition::Step(Id("bench_trial")) if here.is_some() => before("bench_trial"),
        Condition::Step(Id("bench_trial")) => dosed_by_trial(said, treatment)?,
        Condition::Step(id) if id.is_answer() => said.answers.contains_key(&id),
        Condition::Step(id) => said.in_route.contains(&id),
        Condition::Gate(gate) => match gate {
            Gate::ProteinStable => {
                figure(Quantity::HeatRise).is_some_and(|h| h < 2.0)
                    || ["bentonite_na", "bentonite_ca", "measure_first"]
                        .into_iter()
                        .any(before)
            }
            Gate::NoLysozyme => !told.history.contains(&Id("lysozyme")),
            Gate::DropAtMost15 => figure(Quantity::ConductivityDrop).is_some_and(|d| d <= 15.0),
            Gate::DropAtMost20 => figure(Quantity::ConductivityDrop).is_some_and(|d| d <= 20.0),
            Gate::SaturationBelow19 => told
                .analyses
                .get(&Analysis::Saturation)
                .and_then(|t| t.as_f64())
                .is_some_and(|t| t < 19.0),
            Gate::NotOrganic => !told.claims.contains(&Claim::OrganicEu),
            Gate::ColourTest => {
                figure(Quantity::ColdColour).is_some() || said.steps.iter().any(|s| s.tests_colour)
            }
            Gate::MarketApproval => approved(said, treatment)?,
            Gate::TrainedPerson | Gate::DosingEquipment => dosing_unit(),
            Gate::ClearAndDry => {
                matches!(said.wine.stage, Some(Stage::Dry | Stage::Ready))
                    && figure(Quantity::Sugar).is_none_or(|s| s < 4.0)
            }
            Gate::MlfBlocked => {
                matches!(
                    said.wine.malolactic,
                    Some(Malolactic::Done | Malolactic::Blocked)
                ) || figure(Quantity::Malic).is_some_and(|m| m <= 0.3)
            }
            // Nothing that is said of a wine today tells how long an agent stays in it.
            Gate::ShortContact => false,
            Gate::OtherHurdles => any_in_route(&[
                "so2",
                "membrane_045",
                "membrane_065",
                "membrane_080",
                "crossflow",
                "depth_sheets",
            ]),
        },
    })
}

/// Whether what is recommended for a treatment outside the route is dosed by trial.
fn dosed_by_trial(said: &Said, treatment: Id) -> Result<bool, String> {
    let by_trial = |key: &str| {
        TREATMENTS
            .iter()
            .any(|t| t.key == key && t.dose.is_some_and(|d| d.by_trial))
    };
    for key in said.top.iter().flat_map(|(_, keys)| keys) {
        if ids(key, said.wine.stage)?.contains(&treatment) && !by_trial(key) {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Whether the law of every market was read and allows a treatment, wherever it is listed.
fn approved(said: &Said, treatment: Id) -> Result<bool, String> {
    let mut listed = false;
    for row in said.advice.problems.iter().flat_map(|p| &p.ranked) {
        if ids(row.key, said.wine.stage)?.contains(&treatment) {
            listed = true;
            if !row.legality.is_some_and(Legality::allows) {
                return Ok(false);
            }
        }
    }
    Ok(listed)
}
