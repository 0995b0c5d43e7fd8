//! From what is told of a wine in a case to the wine as the app takes it, and what could not be
//! said. Nothing here looks at
//! what must follow.

use super::case::Told;
use super::words::*;
use serde_json::Number;
use std::collections::BTreeMap;
use stillbright::diagnosis::may_be;
use stillbright::knowledge::SIGNS;
use stillbright::units::day::Day;
use stillbright::wine::{
    AsTyped, Claim as Kept, Colour as Hue, Done, Journey, Kit, KitEntry, KitMeans, Malolactic,
    Market as Sold, Organic, Past, PlanStep, Problem, Quantity, Stage as Stands, Style, Vessel,
    Weights, Wine,
};

/// What was said otherwise than in the case, or not at all.
#[derive(Debug, Default)]
pub struct Notes {
    /// Nearly said.
    pub nearest: Vec<&'static str>,
    /// Taken from what is usual.
    pub borrowed: Vec<&'static str>,
    /// What the app offers no way to say.
    pub cannot: Vec<&'static str>,
}

impl Notes {
    fn cannot(&mut self, what: &'static str) {
        if !self.cannot.contains(&what) {
            self.cannot.push(what);
        }
    }
}

/// The day on which all cases are asked.
pub const TODAY: &str = "2026-11-30";

/// The wine of a case. `by_contractor` is equipment that is at hand since only a change of the case
/// takes it away.
pub fn wine_of(id: &str, told: &Told, by_contractor: bool) -> Result<(Wine, Notes), String> {
    let mut notes = Notes::default();
    let mut wine = Wine {
        name: id.to_string(),
        colour: colour(told.colour),
        style: Some(style(told)),
        problems: problems(told, &mut notes),
        ..Wine::default()
    };
    stage(&mut wine, told, &mut notes);
    analyses(&mut wine, told, &mut notes);
    signs(&mut wine, told);
    told.observations
        .iter()
        .for_each(|o| observation(&mut wine, *o, &mut notes));
    markets(&mut wine, told, &mut notes);
    claims(&mut wine, told, &mut notes);
    kit(&mut wine, told, by_contractor, &mut notes);
    days(&mut wine, told, &mut notes)?;
    if let Some(error) = wine.errors().first() {
        return Err(format!("{id}: {error:?}"));
    }
    Ok((wine, notes))
}

fn typed(value: &Number) -> AsTyped {
    AsTyped(value.to_string())
}

fn value(value: &Number) -> f64 {
    value.as_f64().unwrap_or(f64::NAN)
}

fn colour(colour: Colour) -> Option<Hue> {
    match colour {
        Colour::White => Some(Hue::White),
        Colour::Rose => Some(Hue::Rose),
        Colour::Red => Some(Hue::Red),
        Colour::Orange => Some(Hue::Orange),
        Colour::Any => None,
    }
}

fn style(told: &Told) -> Style {
    let words = told.style.to_lowercase();
    let has = |part: &str| words.contains(part);
    if has("fruit wine") || told.observations.contains(&Observation::FruitNotGrape) {
        Style::Fruit
    } else if has("sparkling base") {
        Style::SparklingBase
    } else if has("sweet") || has("medium dry") {
        Style::StillSweet
    } else {
        Style::StillDry
    }
}

fn stage(wine: &mut Wine, told: &Told, notes: &mut Notes) {
    let microbes_only = !told.needs.is_empty()
        && told
            .needs
            .iter()
            .all(|n| matches!(n, Need::Refermentation | Need::Malolactic | Need::Brett));
    wine.stage = match told.stage {
        Stage::Mlf => {
            wine.malolactic = Some(Malolactic::Pending);
            Some(Stands::Dry)
        }
        Stage::OnLees => {
            wine.past = vec![Past::OnLees];
            Some(Stands::Dry)
        }
        // Everything such a need calls for is open there.
        Stage::Ready if microbes_only => Some(Stands::Ready),
        Stage::Ready => {
            notes.nearest.push("stage “ready” said as “Fermentation over”: the app's “Ready to bottle” closes every fining and the cold");
            Some(Stands::Dry)
        }
        Stage::Juice => Some(Stands::Juice),
        Stage::Fermenting => Some(Stands::Fermenting),
        Stage::Dry => Some(Stands::Dry),
        Stage::Bottled => Some(Stands::Bottled),
        Stage::Unknown => None,
    };
}

fn problem(need: Need) -> Problem {
    match need {
        Need::Clarity => Problem::Haze,
        // Where the cause it is found to be is filed.
        Need::Protein | Need::Overfining => Problem::Protein,
        Need::Bitartrate => Problem::Crystals,
        Need::CalciumTartrate => Problem::Calcium,
        Need::ColourStability => Problem::Deposit,
        Need::Bitterness => Problem::Bitterness,
        Need::Astringency => Problem::Astringency,
        Need::Browning => Problem::Browning,
        Need::Pinking => Problem::Pinking,
        Need::ExcessColour => Problem::Colour,
        Need::Reduction => Problem::Reduction,
        Need::Smoke => Problem::Smoke,
        Need::Rot => Problem::OffOdour,
        Need::Glucan | Need::Pectin => Problem::BlockedFilter,
        Need::Refermentation => Problem::Refermentation,
        Need::Malolactic => Problem::Microbes,
        Need::Brett => Problem::Brettanomyces,
        Need::Copper => Problem::ExcessCopper,
        Need::Iron => Problem::ExcessIron,
        Need::Mousy => Problem::Mousy,
    }
}

fn problems(told: &Told, notes: &mut Notes) -> Vec<Problem> {
    let mut all: Vec<Problem> = Vec::new();
    let mut add = |problem: Problem| {
        if !all.contains(&problem) {
            all.push(problem);
        }
    };
    if told.needs.contains(&Need::Overfining) {
        notes.nearest.push("over-fining: no problem of its own; said by its signs, and as protein, where the cause it is found to be is filed");
        add(Problem::Protein);
    } else if told.needs == [Need::Clarity]
        && told.observations.contains(&Observation::NeedleDeposit)
    {
        // The app has its own name for it.
    } else {
        told.needs.iter().for_each(|n| add(problem(*n)));
    }
    for seen in &told.observations {
        match seen {
            Observation::LaccaseSuspected => add(Problem::Rot),
            Observation::NeedleDeposit => add(Problem::Deposit),
            Observation::Mousy => add(Problem::Mousy),
            Observation::Mouldy => add(Problem::OffOdour),
            Observation::FilterBlocks => add(Problem::BlockedFilter),
            _ => {}
        }
    }
    all
}

fn analyses(wine: &mut Wine, told: &Told, notes: &mut Notes) {
    let mut all: BTreeMap<Quantity, AsTyped> = BTreeMap::new();
    let mut say = |quantity: Quantity, text: AsTyped| drop(all.insert(quantity, text));
    if let Some(ph) = &told.ph {
        say(Quantity::Ph, typed(ph));
    }
    if let Some(abv) = &told.abv {
        say(Quantity::Alcohol, typed(abv));
    }
    let given = |which: Analysis| told.analyses.get(&which).map(value);
    let hard = given(Analysis::HeatHours).is_some_and(|h| h >= 6.0)
        && given(Analysis::HeatDegrees).is_none_or(|t| t >= 80.0);
    for (which, figure) in &told.analyses {
        match which {
            Analysis::Heat if hard => {
                say(Quantity::HeatRiseHard, typed(figure));
                wine.journey = Some(Journey::Warm);
                notes.nearest.push("a 6 h heat test counts for the need only with “Hot market or long voyage”: said so");
            }
            Analysis::Heat => say(Quantity::HeatRise, typed(figure)),
            // Read with the test they belong to.
            Analysis::HeatHours | Analysis::HeatDegrees => {}
            Analysis::MustHeat => {
                say(Quantity::HeatRise, typed(figure));
                notes.nearest.push("must heat test (80 °C, 30 min) typed as the heat test of a wine: there is none for must");
            }
            Analysis::ColourHaze => {
                say(
                    Quantity::ColdColour,
                    AsTyped(if value(figure) >= 2.0 { "yes" } else { "no" }.into()),
                );
                notes
                    .nearest
                    .push("colour haze in NTU: only yes or no can be said");
            }
            Analysis::Volume => wine.volume = typed(figure),
            Analysis::Drop => say(Quantity::ConductivityDrop, typed(figure)),
            Analysis::Calcium => say(Quantity::Calcium, typed(figure)),
            Analysis::Copper => say(Quantity::Copper, typed(figure)),
            Analysis::Iron => say(Quantity::Iron, typed(figure)),
            Analysis::FreeSo2 => say(Quantity::FreeSo2, typed(figure)),
            Analysis::Malic => {
                say(Quantity::Malic, typed(figure));
                wine.malolactic = Some(if value(figure) <= 0.3 {
                    Malolactic::Done
                } else {
                    Malolactic::Pending
                });
            }
            Analysis::Sugar => say(Quantity::Sugar, typed(figure)),
            Analysis::Turbidity => say(Quantity::Turbidity, typed(figure)),
            Analysis::Brett => say(Quantity::BrettCells, typed(figure)),
            Analysis::CellarTemperature => say(Quantity::StorageTemperature, typed(figure)),
            Analysis::Saturation => say(Quantity::SaturationTemperature, typed(figure)),
            Analysis::Tannin => notes.cannot("tannin"),
            Analysis::Guaiacol => notes.cannot("guaiacol (smoke phenols)"),
            Analysis::Quercetin => notes.cannot("quercetin"),
            Analysis::PressBar => notes.cannot("press pressure"),
            Analysis::MustBrix => notes.cannot("sugar of the must in Brix"),
            Analysis::Yeast => say(Quantity::YeastCells, typed(figure)),
            Analysis::TargetSugar => notes.cannot("sugar it is to be sweetened to"),
        }
    }
    if told
        .observations
        .contains(&Observation::CrystalsAfterColdTestPassed)
    {
        say(Quantity::ColdHold, AsTyped("no".into()));
    }
    let body = told.observations.iter().find_map(|o| match o {
        Observation::Thin => Some("yes"),
        Observation::Structured => Some("no"),
        _ => None,
    });
    if let Some(thin) = body {
        say(Quantity::Thin, AsTyped(thin.into()));
    }
    // The glass with cadmium, which parts hydrogen sulfide from thiols, cannot be said.
    let glass = told.observations.iter().find_map(|o| match o {
        Observation::H2sConfirmed | Observation::MercaptanConfirmed => Some("no"),
        Observation::DisulfideConfirmed => Some("yes"),
        _ => None,
    });
    if let Some(left) = glass {
        say(Quantity::CopperGlass, AsTyped(left.into()));
        if left == "yes" {
            say(Quantity::AscorbicGlass, AsTyped(left.into()));
        } else {
            notes
                .nearest
                .push("hydrogen sulfide or thiols: said as a smell that a glass with copper takes");
        }
    }
    wine.analyses = all.into_iter().collect();
}

/// The sign that an observation answers with yes.
fn sign(seen: Observation) -> Option<&'static str> {
    Some(match seen {
        Observation::Brown => "brown",
        Observation::Hazy | Observation::Cloudy | Observation::GreyHaze => "even_haze",
        Observation::ClearUntilAerated => "after_air",
        Observation::CrystalsAfterColdTestPassed => "crystals",
        Observation::FilterBlocks => "filter_blocks",
        Observation::GlucanAlcoholTestPositive => "glucan_threads",
        Observation::PectinAlcoholTestPositive => "alcohol_strings",
        Observation::HazeAfterFining => "after_fining",
        Observation::NeedleDeposit => "yellow_needles",
        Observation::OldIronEquipment => "bare_iron",
        Observation::PinkInBottle => "pink",
        Observation::Rot => "rotten_fruit",
        Observation::StillFermenting => "gas",
        _ => return None,
    })
}

fn signs(wine: &mut Wine, told: &Told) {
    let yes: Vec<&str> = told.observations.iter().filter_map(|o| sign(*o)).collect();
    if yes.is_empty() {
        return;
    }
    // On the page what is not chosen from the list of what is seen counts as no; nothing else does.
    let seen = SIGNS.iter().filter(|s| s.seen.is_some());
    let no = seen
        .filter(|s| may_be(s, wine.colour, wine.stage))
        .map(|s| (s.key, false));
    let all: BTreeMap<&str, bool> = no.chain(yes.into_iter().map(|s| (s, true))).collect();
    wine.observed = all
        .into_iter()
        .map(|(s, holds)| (s.to_string(), holds))
        .collect();
}

/// What an observation says besides its sign and its problem.
fn observation(wine: &mut Wine, seen: Observation, notes: &mut Notes) {
    let what = match seen {
        // Said by a sign, a problem, the log, a test or the need itself.
        Observation::Astringent
        | Observation::Bitter
        | Observation::Brown
        | Observation::CauseUnknown
        | Observation::ClearUntilAerated
        | Observation::Cloudy
        | Observation::ColdStabilityUnknown
        | Observation::CrystalsAfterColdTestPassed
        | Observation::DisulfideConfirmed
        | Observation::EnzymeGiven24H
        | Observation::FermentationEnded
        | Observation::FilterBlocks
        | Observation::FoamMustBeKept
        | Observation::FruitNotGrape
        | Observation::GlucanAlcoholTestPositive
        | Observation::GreyHaze
        | Observation::H2sConfirmed
        | Observation::HazeAfterFining
        | Observation::Hazy
        | Observation::HeatStabilityUnknown
        | Observation::LaccaseSuspected
        | Observation::MercaptanConfirmed
        | Observation::Mouldy
        | Observation::Mousy
        | Observation::NeedleDeposit
        | Observation::OldIronEquipment
        | Observation::OrangeTint
        | Observation::OxidisedTaste
        | Observation::PectinAlcoholTestPositive
        | Observation::PectinaseFailed
        | Observation::PinkInBottle
        | Observation::PinkingRisk
        | Observation::ReductiveSmell
        | Observation::Rot
        | Observation::RottenEgg
        | Observation::RoughTannin
        | Observation::SmokeExposed
        | Observation::Smoky
        | Observation::StillFermenting
        | Observation::Structured
        | Observation::Thin
        | Observation::ThreeRackingsDone
        | Observation::TooDark => return,
        Observation::LongHotTransit => {
            wine.journey = Some(Journey::Warm);
            return;
        }
        Observation::CheapAndFastWanted => {
            wine.weights = Weights {
                effect: 5,
                cost: 5,
                time: 5,
                origin: 1,
            };
            return;
        }
        Observation::EnergyCostMatters => {
            wine.weights = Weights {
                effect: 5,
                cost: 5,
                time: 2,
                origin: 1,
            };
            notes
                .nearest
                .push("cost of energy: said as more weight on cost");
            return;
        }
        Observation::AcidityMustBeKept => "that the acidity is to be kept",
        Observation::AromaMustBeKept => "that aroma is to be kept (only a price per point)",
        Observation::AsksToAvoidCold => "that cold is unwanted though there is a chiller",
        Observation::BenchMixedVigorously => "how the bench sample was mixed",
        Observation::BenchTrialPassed => "a bench trial without its readings",
        Observation::BothPartsTestedStable => "that the parts of a blend were stable each",
        Observation::CarbonicMaceration => "carbonic maceration",
        Observation::ColdSeason => "that it is winter (natural cold)",
        Observation::DeepRose => "depth of colour of a rosé",
        Observation::FreeRun | Observation::PressFraction => "free run or press fraction",
        Observation::HeatTreatedMust => "heat-treated must",
        Observation::LeesAgeingPlanned => "lees ageing that is planned",
        Observation::LessLeesWanted => "wish for less lees",
        Observation::LessSo2Wanted => "wish for less sulfur dioxide",
        Observation::MachineHarvest => "machine harvest",
        Observation::MlfToBeDelayed => "that malolactic is to be held back for a while",
        Observation::RackedRightAfterFermentation => "racked early",
        Observation::ReductiveSmellReturns => "that the smell came back after copper",
        Observation::TankFailsHeatTest => "that bench and tank disagree",
        Observation::TastesHard | Observation::TastesSupple => "how hard it tastes",
        Observation::ThiolStyleWanted => "thiol style",
        Observation::VarietyHighInProtein | Observation::VarietyKnownToPink => "variety",
        Observation::Yellow => "which hue is too much",
    };
    notes.cannot(what);
}

/// Where it is sold; made there too where it is one market.
fn markets(wine: &mut Wine, told: &Told, notes: &mut Notes) {
    for market in &told.markets {
        wine.sold_in.push(match market {
            Market::Eu => Sold::Eu,
            Market::Gb => Sold::Gb,
            Market::Us => Sold::Us,
            Market::Au => Sold::Au,
            Market::Za => Sold::Za,
            Market::OwnUse => {
                notes.cannot("own use, not sold (left without a market)");
                continue;
            }
        });
    }
    if let [only] = wine.sold_in.as_slice() {
        wine.made_in = Some(*only);
    }
}

fn claims(wine: &mut Wine, told: &Told, notes: &mut Notes) {
    let mut say = |claim: Kept| {
        if !wine.claims.contains(&claim) {
            wine.claims.push(claim);
        }
    };
    for claim in &told.claims {
        match claim {
            Claim::Vegan => say(Kept::Vegan),
            Claim::NoMilk => say(Kept::NoMilk),
            Claim::NoAllergen => {
                say(Kept::NoEgg);
                say(Kept::NoMilk);
                notes
                    .nearest
                    .push("no allergen: said as no egg and no milk; wheat cannot be named");
            }
            Claim::OrganicEu => wine.organic = vec![Organic::Eu],
            Claim::NoPvpp => notes.cannot("a buyer's list (no PVPP)"),
            Claim::NoAddedSo2 => say(Kept::NoSulfite),
        }
    }
}

/// What a home cellar does not have.
const INDUSTRIAL: [Kit; 8] = [
    Kit::CrossFlow,
    Kit::Electrodialysis,
    Kit::IonExchange,
    Kit::Centrifuge,
    Kit::Flotation,
    Kit::HeatExchanger,
    Kit::EarthFilter,
    Kit::DosingUnit,
];

fn kit(wine: &mut Wine, told: &Told, by_contractor: bool, notes: &mut Notes) {
    let mut without = |kit: Kit| drop(wine.kit.insert(kit, KitEntry::of(KitMeans::No)));
    for missing in &told.kit_missing {
        match missing {
            Missing::Chiller => without(Kit::Chiller),
            Missing::MembraneFilter => {
                without(Kit::Filter);
                without(Kit::CrossFlow);
                notes.nearest.push(
                    "no membrane filter: said as no sheet or cartridge filter and no cross-flow",
                );
            }
            Missing::DosingEquipment => without(Kit::DosingUnit),
            Missing::Laboratory => notes.cannot("no laboratory at hand"),
        }
    }
    if by_contractor && !told.kit_missing.contains(&Missing::DosingEquipment) {
        drop(
            wine.kit
                .insert(Kit::DosingUnit, KitEntry::of(KitMeans::Contractor)),
        );
    }
    if told.markets.contains(&Market::OwnUse) {
        for kit in INDUSTRIAL {
            if !wine.kit.contains_key(&kit) {
                drop(wine.kit.insert(kit, KitEntry::of(KitMeans::No)));
            }
        }
        notes
            .borrowed
            .push("home cellar: industrial equipment said as not to be had");
    }
}

/// The key in log and plan of what was done or is meant to be done.
fn logged(id: Id) -> Result<&'static str, String> {
    Ok(match id.0 {
        "bentonite_na" | "bentonite_juice" | "bentonite_riddling" => "bentonite_sodium",
        "static_chilling" => "chill_static",
        "so2" => "sulfur_dioxide",
        "copper" => "copper_sulfate",
        "blend" => "blending",
        "acidify_tartaric" => "tartaric_acid",
        "rack" => "racking",
        "barrel_maturation" => "barrel",
        "deacidify" => "potassium_bicarbonate",
        "depth_sheets" => "sheet_filtration",
        "pectinase" | "gelatin" | "lysozyme" | "cmc" | "carbon_colour" | "casein"
        | "gum_arabic" | "membrane_045" | "silica_sol" | "sorbate" | "isinglass" | "pvpp"
        | "tannin" => id.0,
        other => return Err(format!("“{other}” has no key in the log")),
    })
}

/// The bottling day, the vessel, what was done and what is meant.
fn days(wine: &mut Wine, told: &Told, notes: &mut Notes) -> Result<(), String> {
    let today = Day::read(TODAY).ok_or("the day of the cases cannot be read")?;
    let day = |n: i64| today.plus(n).show();
    match told.days_available {
        Some(n) if told.stage == Stage::Juice && n < 10 => notes
            .cannot("days that there are for clearing a juice (only a bottling day can be said)"),
        Some(n) => wine.bottling_day = day(n),
        None => {}
    }
    if told.style.to_lowercase().contains("barrel") {
        wine.vessel = Some(Vessel::Barrel);
    }
    let yesterday = told.observations.contains(&Observation::EnzymeGiven24H);
    for id in &told.history {
        let ago = if yesterday && id.0 == "pectinase" {
            1
        } else {
            30
        };
        wine.done.push(Done {
            treatment: logged(*id)?.into(),
            day: day(-ago),
            ..Done::default()
        });
    }
    if told.observations.contains(&Observation::ThreeRackingsDone) {
        wine.done.extend([90, 60, 30].map(|n| Done {
            treatment: "racking".into(),
            day: day(-n),
            ..Done::default()
        }));
    }
    // Analyses were made after what was done.
    if !wine.done.is_empty() {
        wine.measured_on = wine
            .analyses
            .keys()
            .map(|q| (*q, AsTyped(day(-1))))
            .collect();
    }
    for id in &told.planned {
        wine.plan.push(PlanStep {
            treatment: logged(*id)?.into(),
            ..PlanStep::default()
        });
    }
    if !wine.plan.is_empty() {
        notes
            .nearest
            .push("planned acts stand in the chosen route; the search for routes does not read it");
    }
    Ok(())
}
