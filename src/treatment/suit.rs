//! Why a treatment is left out. Every reason that holds is given, none is silent.

use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law::{self, Legality};
use crate::rules::{self, Ruling};
use crate::units::show;
use crate::wine::*;
use serde::Serialize;

/// One reason to leave a treatment out.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", tag = "because")]
pub enum Reason {
    /// The law of a market.
    Law {
        /// The market.
        market: Market,
        /// Article.
        article: String,
        /// In words.
        text: String,
    },
    /// A claim would be broken.
    Claim {
        /// In words.
        text: String,
    },
    /// An organic scheme does not list it.
    Organic {
        /// The scheme.
        scheme: Organic,
        /// In words.
        text: String,
    },
    /// Not for this kind of wine.
    Style {
        /// In words.
        text: String,
    },
    /// Not at this stage.
    Stage {
        /// In words.
        text: String,
    },
    /// The equipment is not to be had, or not for so small a lot.
    Kit {
        /// The equipment.
        kit: Kit,
        /// In words.
        text: String,
    },
    /// Only a licensed person may do it: named, never dosed.
    Licensed {
        /// In words.
        text: String,
    },
    /// A rule shuts it out of this wine.
    Rule {
        /// What it says.
        ruling: Ruling,
    },
    /// No evidence that it acts on this problem.
    NoEvidence {
        /// In words.
        text: String,
    },
}

impl Reason {
    /// The kind of reason in one word, and the reason in words.
    pub fn words(&self) -> (&'static str, String) {
        match self {
            Reason::Law {
                market,
                article,
                text,
            } => ("Law", format!("{}: {text} ({article})", market.label())),
            Reason::Claim { text } => ("Claim", text.clone()),
            Reason::Organic { scheme, text } => ("Claim", format!("{}: {text}", scheme.label())),
            Reason::Style { text } => ("Style", text.clone()),
            Reason::Stage { text } => ("Stage", text.clone()),
            Reason::Kit { text, .. } => ("Kit", text.clone()),
            Reason::Licensed { text } => ("Licence", text.clone()),
            Reason::Rule { ruling } => (ruling.kind(), ruling.text.clone()),
            Reason::NoEvidence { text } => ("No evidence", text.clone()),
        }
    }
}

/// A treatment left out, with every reason.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LeftOut {
    /// Key of the treatment.
    pub key: &'static str,
    /// Its name.
    pub name: &'static str,
    /// Why.
    pub reasons: Vec<Reason>,
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
        // Kept by the lists of the schemes, not by the origin.
        Claim::Organic => &[Origin::Unknown],
    };
    !broken.contains(&origin)
}

/// Every reason against a treatment on this wine, apart from evidence.
pub fn reasons(dossier: &Dossier, treatment: &Treatment) -> Vec<Reason> {
    let mut found = Vec::new();
    match treatment.access {
        Access::Licensed => found.push(Reason::Licensed {
            text: treatment.summary.to_string(),
        }),
        Access::Trained
            if dossier
                .kit
                .get(&Kit::DosingUnit)
                .is_none_or(|k| k.means == KitMeans::No) =>
        {
            found.push(Reason::Licensed {
                text: "a trained operator with a dosing unit only; none is named under equipment"
                    .into(),
            });
        }
        _ => {}
    }
    for f in dossier.law(treatment).iter() {
        if f.legality.shuts_out() {
            let limits = f.limits.join("; ");
            let text = if f.legality == Legality::NotListed {
                format!("not listed. {}", f.note)
            } else if limits.is_empty() {
                "not permitted".to_string()
            } else {
                format!("not permitted: {limits}")
            };
            found.push(Reason::Law {
                market: f.market,
                article: f.article.to_string(),
                text,
            });
        } else if let (Some(cap), Some(dose)) = (f.dose_cap, treatment.dose)
            && cap < dose.range.low
            // A border rule that was not read hides nothing.
            && !f.border_unread
        {
            let text = "the limit lies below the least useful dose".to_string();
            // A limit of the claim is no law of the market, and is said once.
            let reason = match f.cap_by {
                Some(scheme) => Reason::Organic { scheme, text },
                None => Reason::Law {
                    market: f.market,
                    article: f.article.to_string(),
                    text,
                },
            };
            if !found.contains(&reason) {
                found.push(reason);
            }
        }
    }
    for claim in dossier
        .claims
        .iter()
        .copied()
        .filter(|c| !keeps(*c, treatment.origin))
    {
        found.push(Reason::Claim {
            text: format!(
                "{}: it is of origin “{}”",
                claim.label(),
                show::lower(treatment.origin.label())
            ),
        });
    }
    for scheme in dossier.schemes() {
        if let Some(rule) = law::organic(scheme, treatment)
            && rule.verdict == Verdict::Forbidden
        {
            let doubt = if rule.evidence == Evidence::Memory {
                " (text not read: confirm with the certifier)"
            } else {
                ""
            };
            found.push(Reason::Organic {
                scheme,
                text: format!("{}{doubt}", rule.text),
            });
        }
    }
    if let Some(style) = dossier.style
        && treatment.not_styles.contains(&style)
    {
        found.push(Reason::Style {
            text: format!("not used on: {}", show::lower(style.label())),
        });
    }
    match dossier.stage {
        Some(Stage::Bottled) => found.push(Reason::Stage {
            text: "nothing is dosed into a bottle".into(),
        }),
        Some(stage) if !treatment.stages.contains(&stage) => {
            let when: Vec<&str> = treatment.stages.iter().map(|s| s.label()).collect();
            found.push(Reason::Stage {
                text: format!("used at: {}", show::lower(&when.join(", "))),
            });
        }
        _ => {}
    }
    found.extend(kit_reasons(dossier, treatment));
    found.extend(ruled(dossier, treatment, None));
    found
}

/// Every reason against a treatment for one problem: those above, and a law that permits it for
/// others alone.
pub fn reasons_for(dossier: &Dossier, treatment: &Treatment, problem: Problem) -> Vec<Reason> {
    let mut found = reasons(dossier, treatment);
    found.extend(other_use(dossier, treatment, &[problem]));
    let so_far = found.clone();
    let more = ruled(dossier, treatment, Some(problem)).into_iter();
    found.extend(more.filter(|r| !so_far.contains(r)));
    found
}

/// What the rules shut a treatment out for, as such and for a problem.
fn ruled(dossier: &Dossier, treatment: &Treatment, problem: Option<Problem>) -> Vec<Reason> {
    let all = rules::against(dossier, treatment, problem).into_iter();
    all.map(|ruling| Reason::Rule { ruling }).collect()
}

/// The laws that permit a treatment, but for none of these problems.
pub fn other_use(dossier: &Dossier, treatment: &Treatment, problems: &[Problem]) -> Vec<Reason> {
    dossier
        .law(treatment)
        .iter()
        .filter(|f| f.is_other_use(problems))
        .map(|f| Reason::Law {
            market: f.market,
            article: f.article.to_string(),
            text: law::only_for(f),
        })
        .collect()
}

/// Costly equipment that a treatment needs and that was not said to be had. What is owned, hired or
/// comes by contract is not
/// named.
pub fn to_hire(dossier: &Dossier, treatment: &Treatment) -> Vec<Kit> {
    let open = |k: &Kit| !dossier.kit.contains_key(k) && COSTLY.iter().any(|c| c.kit == *k);
    let possible: Vec<Kit> = treatment
        .kit
        .iter()
        .copied()
        .filter(|k| kit_reason(dossier, *k).is_none())
        .collect();
    if treatment.any_kit && !possible.iter().all(open) {
        Vec::new()
    } else {
        possible.into_iter().filter(open).collect()
    }
}

fn kit_reasons(dossier: &Dossier, treatment: &Treatment) -> Vec<Reason> {
    let missing: Vec<Reason> = treatment
        .kit
        .iter()
        .filter_map(|kit| kit_reason(dossier, *kit))
        .collect();
    if treatment.any_kit && missing.len() < treatment.kit.len() {
        Vec::new()
    } else {
        missing
    }
}

fn kit_reason(dossier: &Dossier, kit: Kit) -> Option<Reason> {
    let entry = dossier.kit.get(&kit)?;
    if entry.means == KitMeans::No {
        return Some(Reason::Kit {
            kit,
            text: format!("{}: not to be had", kit.label()),
        });
    }
    let least = entry.minimum_batch.given()?;
    let volume = dossier.volume.given()?;
    (volume < least).then(|| Reason::Kit {
        kit,
        text: format!(
            "{} comes for {} L or more; this lot is {} L",
            kit.label(),
            show::fixed(least, 0),
            show::fixed(volume, 0)
        ),
    })
}
