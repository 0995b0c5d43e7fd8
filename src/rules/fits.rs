//! Whether an act fits the wine at all: who may do it, the law, claims and schemes, the kind of
//! wine and where it stands, the equipment. What was not told of them speaks against no act, but
//! that an operator who must be trained was not named.

use super::now::Now;
use super::value::{Fact, Truth, Value};
use crate::dossier::Dossier;
use crate::knowledge::{Effect, PROBLEMS, Treatment};
use crate::law::{self, Finding, Legality};
use crate::wine::*;

/// Why equipment is out of reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum KitOut {
    /// It is not to be had.
    Missing,
    /// It comes for lots of so many litres or more, and this one has so many.
    LotBelow { least: f64, lot: f64 },
}

/// Why a wine does without equipment; None where it can be had, as far as was told.
pub(super) fn kit_out(dossier: &Dossier, kit: Kit) -> Option<KitOut> {
    let entry = dossier.kit.get(&kit)?;
    if entry.means == KitMeans::No {
        return Some(KitOut::Missing);
    }
    let least = entry.minimum_batch.given()?;
    let lot = dossier.volume.given()?;
    (lot < least).then_some(KitOut::LotBelow { least, lot })
}

/// Whether equipment can be had for this wine, as far as was told.
pub fn has_kit(dossier: &Dossier, kit: Kit) -> bool {
    kit_out(dossier, kit).is_none()
}

/// Whether an origin keeps a claim. An origin that is not known keeps none.
pub fn keeps(claim: Claim, origin: Origin) -> bool {
    let broken: &[Origin] = match claim {
        Claim::Vegan => &[
            Origin::Milk,
            Origin::Egg,
            Origin::Fish,
            Origin::Animal,
            Origin::Unknown,
        ],
        Claim::Vegetarian => &[Origin::Fish, Origin::Animal, Origin::Unknown],
        Claim::NoEgg => &[Origin::Egg, Origin::Unknown],
        Claim::NoMilk => &[Origin::Milk, Origin::Unknown],
        Claim::NoFish => &[Origin::Fish, Origin::Unknown],
        // Kept by the lists of the schemes, or by what is added, not by the origin.
        Claim::Organic | Claim::NoSulfite => &[Origin::Unknown],
    };
    !broken.contains(&origin)
}

/// Whether an act keeps a claim, by its origin and by what it adds.
pub fn keeps_claim(claim: Claim, act: &Treatment) -> bool {
    let adds = |e: &Effect| e.on == Quantity::TotalSo2 && e.adds.is_some();
    let sulfite = claim == Claim::NoSulfite && act.effects.iter().any(adds);
    keeps(claim, act.origin) && !sulfite
}

/// Whether a limit leaves less than the least useful dose. A border rule that was not read hides
/// nothing.
fn is_below_useful(f: &Finding, act: &Treatment) -> bool {
    let below = f
        .dose_cap
        .zip(act.dose)
        .is_some_and(|(cap, dose)| cap < dose.range.low);
    below && !f.legality.shuts_out() && !f.border_unread
}

impl Now<'_> {
    /// Where a question asks whether the act fits the wine, its answer. One fact is enough for a
    /// yes; where the stage, the kind of wine or the operator was not told, it is not known.
    pub(super) fn fit(&self, asked: OfAct, act: &Treatment, need: Option<Problem>) -> Value {
        if let Some(fact) = self.misfits(asked, act, need).into_iter().next() {
            return Value::of(Truth::Yes, fact);
        }
        let wine = self.dossier;
        let no_stage = wine.stage.is_none();
        let open = match asked {
            OfAct::InBottle if no_stage => Some(Fact::Stage),
            OfAct::StageNotIts if no_stage && Stage::ALL.iter().any(|s| is_other(act, *s)) => {
                Some(Fact::Stage)
            }
            OfAct::StyleExcluded if wine.style.is_none() => {
                act.not_styles.first().map(|s| Fact::Style(*s))
            }
            OfAct::OperatorMissing if act.access == Access::Trained => {
                let unit = Kit::DosingUnit;
                (!wine.kit.contains_key(&unit)).then_some(Fact::Kit(unit))
            }
            _ => None,
        };
        match open {
            Some(fact) => Value::of(Truth::NotKnown, fact),
            None => Value {
                truth: Truth::No,
                witness: Vec::new(),
            },
        }
    }

    /// The facts by each of which alone the act does not fit the wine.
    pub(super) fn misfits(
        &self,
        asked: OfAct,
        act: &Treatment,
        need: Option<Problem>,
    ) -> Vec<Fact> {
        let wine = self.dossier;
        let only = |holds: bool, fact: Fact| if holds { vec![fact] } else { Vec::new() };
        match asked {
            OfAct::Licensed => only(act.access == Access::Licensed, Fact::Access),
            OfAct::OperatorMissing => {
                let unit = wine.kit.get(&Kit::DosingUnit);
                let none = unit.is_some_and(|k| k.means == KitMeans::No);
                only(
                    act.access == Access::Trained && none,
                    Fact::Kit(Kit::DosingUnit),
                )
            }
            OfAct::LawForbids => self.by_law(act, |f| f.legality == Legality::Forbidden),
            OfAct::LawNotListed => self.by_law(act, |f| f.legality == Legality::NotListed),
            OfAct::LawOtherUse => {
                self.by_law(act, |f| need.is_some_and(|need| f.is_other_use(&[need])))
            }
            OfAct::CapBelowUseful => {
                let law = wine.law(act);
                let below = law.iter().filter(|f| is_below_useful(f, act));
                // A limit of the claim is no law of the market, and is said once.
                each(below.map(|f| f.cap_by.map_or(Fact::Market(f.market), Fact::Scheme)))
            }
            OfAct::ClaimBroken => {
                let broken = wine.claims.iter().filter(|c| !keeps_claim(**c, act));
                each(broken.map(|c| Fact::Claim(*c)))
            }
            OfAct::SchemeForbids => {
                let forbids = |s: &Organic| {
                    law::organic(*s, act).is_some_and(|r| r.verdict == Verdict::Forbidden)
                };
                each(wine.schemes().into_iter().filter(forbids).map(Fact::Scheme))
            }
            OfAct::StyleExcluded => {
                let excluded = wine.style.filter(|s| act.not_styles.contains(s));
                each(excluded.into_iter().map(Fact::Style))
            }
            OfAct::InBottle => only(wine.stage == Some(Stage::Bottled), Fact::Stage),
            OfAct::StageNotIts => only(wine.stage.is_some_and(|s| is_other(act, s)), Fact::Stage),
            OfAct::KitMissing => self.by_kit(act, |out| out == KitOut::Missing),
            OfAct::LotBelowMinimum => self.by_kit(act, |out| out != KitOut::Missing),
            OfAct::NoEffect => {
                let of = PROBLEMS.iter().find(|p| Some(p.problem) == need);
                let idle = of.filter(|p| !act.works_on(p.quantity));
                each(idle.into_iter().map(|p| Fact::Named(vec![p.problem])))
            }
            OfAct::OverBound | OfAct::AtEdge | OfAct::GivenSince | OfAct::NotInLine => Vec::new(),
        }
    }

    fn by_law(&self, act: &Treatment, speaks: impl Fn(&Finding) -> bool) -> Vec<Fact> {
        let found = self.dossier.law(act);
        let against = found.iter().filter(|f| speaks(f));
        each(against.map(|f| Fact::Market(f.market)))
    }

    /// Equipment that is out of reach for such a reason; none where one piece is enough and one can
    /// be had.
    fn by_kit(&self, act: &Treatment, such: impl Fn(KitOut) -> bool) -> Vec<Fact> {
        let can = act.kit.iter().any(|k| has_kit(self.dossier, *k));
        let out = act.kit.iter().filter(|_| !(act.any_kit && can));
        let is_such = |k: &&Kit| kit_out(self.dossier, **k).is_some_and(&such);
        each(out.filter(is_such).map(|k| Fact::Kit(*k)))
    }
}

/// Whether an act is used at other stages. What is in bottle is another matter.
fn is_other(act: &Treatment, stage: Stage) -> bool {
    stage != Stage::Bottled && !act.stages.contains(&stage)
}

/// Each fact once.
fn each(facts: impl Iterator<Item = Fact>) -> Vec<Fact> {
    let mut all: Vec<Fact> = Vec::new();
    for fact in facts {
        if !all.contains(&fact) {
            all.push(fact);
        }
    }
    all
}

/// What kind of reason shuts an act out, as a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// The law of a market.
    Law,
    /// A claim would be broken.
    Claim,
    /// An organic scheme.
    Organic,
    /// Not for this kind of wine.
    Style,
    /// Not at this stage.
    Stage,
    /// The equipment is not to be had, or not for so small a lot.
    Kit,
    /// Only a licensed or trained person may do it: named, never dosed.
    Licensed,
    /// No evidence that it acts on this problem.
    NoEvidence,
    /// What is known of the wine: its log, readings, signs, causes, colour.
    Rule,
}

impl Kind {
    /// Whether such a reason stands where its condition is not known.
    pub(super) const fn stands_unknown(self) -> bool {
        matches!(self, Kind::Rule | Kind::Licensed)
    }

    /// By what a rule asks of the act, and the facts that it rests on.
    pub(super) fn of(asked: Option<OfAct>, witness: &[Fact]) -> Kind {
        match asked {
            Some(OfAct::Licensed | OfAct::OperatorMissing) => Kind::Licensed,
            Some(OfAct::LawForbids | OfAct::LawNotListed | OfAct::LawOtherUse) => Kind::Law,
            Some(OfAct::CapBelowUseful) => match witness {
                [Fact::Scheme(_), ..] => Kind::Organic,
                _ => Kind::Law,
            },
            Some(OfAct::ClaimBroken) => Kind::Claim,
            Some(OfAct::SchemeForbids) => Kind::Organic,
            Some(OfAct::StyleExcluded) => Kind::Style,
            Some(OfAct::InBottle | OfAct::StageNotIts) => Kind::Stage,
            Some(OfAct::KitMissing | OfAct::LotBelowMinimum) => Kind::Kit,
            Some(OfAct::NoEffect) => Kind::NoEvidence,
            Some(OfAct::OverBound | OfAct::AtEdge | OfAct::GivenSince | OfAct::NotInLine)
            | None => Kind::Rule,
        }
    }
}
