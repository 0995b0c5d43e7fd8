//! The words of the cases: closed lists. A word that is not in them stops the test.

use serde::{Deserialize, Deserializer, de::Error};

/// A member of a closed list.
pub trait Word {
    /// The word as written in the cases.
    fn key(self) -> &'static str;
}

macro_rules! words {
    ($(#[$meta:meta])* $name:ident { $($variant:ident = $key:literal),* $(,)? }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
        pub enum $name { $(#[serde(rename = $key)] $variant),* }
        impl Word for $name {
            fn key(self) -> &'static str {
                match self { $($name::$variant => $key),* }
            }
        }
    };
}

words! { /// What kind of question a case asks.
Kind { Choose = "choose", Diagnose = "diagnose", Order = "order", Test = "test", Refuse = "refuse", Knowledge = "knowledge" } }

words! { /// How strong the source is.
Evidence { A = "A", B = "B", C = "C", D = "D" } }

words! { /// Colour of the wine.
Colour { White = "white", Rose = "rose", Red = "red", Orange = "orange", Any = "any" } }

words! { /// Where the wine stands.
Stage { Juice = "juice", Fermenting = "fermenting", Dry = "dry", Mlf = "mlf", OnLees = "on-lees", Ready = "ready", Bottled = "bottled", Unknown = "unknown" } }

words! { /// What is wrong, or feared.
Need {
    Clarity = "clarity", Protein = "protein", Bitartrate = "bitartrate", CalciumTartrate = "calcium_tartrate", ColourStability = "colour_stability",
    Bitterness = "bitterness", Astringency = "astringency", Browning = "browning", Pinking = "pinking", ExcessColour = "excess_colour",
    Reduction = "off_odour_reduction", Smoke = "off_odour_smoke", Rot = "off_odour_rot", Glucan = "filterability_glucan", Pectin = "filterability_pectin",
    Refermentation = "microbial_refermentation", Malolactic = "microbial_mlf", Brett = "microbial_brett", Copper = "metals_copper", Iron = "metals_iron",
    Overfining = "overfining", Mousy = "mousy",
} }

words! { /// Where it is sold; own use is not a market.
Market { Eu = "eu", Gb = "gb", Us = "us", Au = "au", Za = "za", OwnUse = "own_use" } }

words! { /// What the label or a buyer asks.
Claim { Vegan = "vegan", OrganicEu = "organic_eu", NoPvpp = "no_pvpp", NoMilk = "no_milk", NoAllergen = "no_allergen", NoAddedSo2 = "no_added_so2" } }

words! { /// What is not at hand.
Missing { Chiller = "chiller", MembraneFilter = "membrane_filter", Laboratory = "lab", DosingEquipment = "dosing_equipment" } }

words! { /// What was measured, with its unit in the word.
Analysis {
    Brett = "brett_cfu_ml", Calcium = "ca_mg_l", CellarTemperature = "cellar_temp_c", ColourHaze = "colour_haze_delta_ntu_48h_4c", Copper = "cu_mg_l",
    Drop = "dit_percent", Iron = "fe_mg_l", FreeSo2 = "free_so2_mg_l", Guaiacol = "guaiacol_ug_l", Heat = "heat_delta_ntu", HeatHours = "heat_test_hours",
    HeatDegrees = "heat_test_temp_c", Malic = "malic_g_l", MustBrix = "must_brix", MustHeat = "must_heat_delta_ntu", PressBar = "press_bar",
    Quercetin = "quercetin_mg_l", Sugar = "sugar_g_l", Tannin = "tannin_g_l", TargetSugar = "target_sugar_g_l", Saturation = "tsat_c",
    Turbidity = "turbidity_ntu", Volume = "volume_l", Yeast = "yeast_cfu_ml",
} }

words! { /// What is seen, smelt, wished or known.
Observation {
    AcidityMustBeKept = "acidity_must_be_kept", AromaMustBeKept = "aroma_must_be_kept", AsksToAvoidCold = "asks_to_avoid_cold", Astringent = "astringent",
    BenchMixedVigorously = "bench_mixed_vigorously", BenchTrialPassed = "bench_trial_passed", Bitter = "bitter",
    BothPartsTestedStable = "both_parts_tested_stable", Brown = "brown", CarbonicMaceration = "carbonic_maceration", CauseUnknown = "cause_unknown",
    CheapAndFastWanted = "cheap_and_fast_wanted", ClearUntilAerated = "clear_until_aerated", Cloudy = "cloudy", ColdSeason = "cold_season",
    ColdStabilityUnknown = "cold_stability_unknown", CrystalsAfterColdTestPassed = "crystals_after_cold_test_passed", DeepRose = "deep_rose",
    DisulfideConfirmed = "disulfide_confirmed", EnergyCostMatters = "energy_cost_matters", EnzymeGiven24H = "enzyme_given_24_h",
    FermentationEnded = "fermentation_ended", FilterBlocks = "filter_blocks", FoamMustBeKept = "foam_must_be_kept", FreeRun = "free_run",
    FruitNotGrape = "fruit_not_grape", GlucanAlcoholTestPositive = "glucan_alcohol_test_positive", GreyHaze = "grey_haze", H2sConfirmed = "h2s_confirmed",
    HazeAfterFining = "haze_after_fining", Hazy = "hazy", HeatStabilityUnknown = "heat_stability_unknown", HeatTreatedMust = "heat_treated_must",
    LaccaseSuspected = "laccase_suspected", LeesAgeingPlanned = "lees_ageing_planned", LessLeesWanted = "less_lees_wanted",
    LessSo2Wanted = "less_so2_wanted", LongHotTransit = "long_hot_transit", MachineHarvest = "machine_harvest",
    MercaptanConfirmed = "mercaptan_confirmed", MlfToBeDelayed = "mlf_to_be_delayed", Mouldy = "mouldy", Mousy = "mousy",
    NeedleDeposit = "needle_deposit", OldIronEquipment = "old_iron_equipment", OrangeTint = "orange_tint", OxidisedTaste = "oxidised_taste",
    PectinAlcoholTestPositive = "pectin_alcohol_test_positive", PectinaseFailed = "pectinase_failed", PinkInBottle = "pink_in_bottle",
    PinkingRisk = "pinking_risk", PressFraction = "press_fraction", RackedRightAfterFermentation = "racked_right_after_fermentation",
    ReductiveSmell = "reductive_smell", ReductiveSmellReturns = "reductive_smell_returns", Rot = "rot", RottenEgg = "rotten_egg",
    RoughTannin = "rough_tannin", SmokeExposed = "smoke_exposed", Smoky = "smoky", StillFermenting = "still_fermenting", Structured = "structured",
    TankFailsHeatTest = "tank_fails_heat_test", TastesHard = "tastes_hard", TastesSupple = "tastes_supple", Thin = "thin",
    ThiolStyleWanted = "thiol_style_wanted", ThreeRackingsDone = "three_rackings_done", TooDark = "too_dark",
    VarietyHighInProtein = "variety_high_in_protein", VarietyKnownToPink = "variety_known_to_pink", Yellow = "yellow",
} }

words! { /// What must hold before a treatment may be recommended, where it is not another treatment in its right place.
Gate {
    ProteinStable = "protein_stable", NoLysozyme = "no_lysozyme", DropAtMost15 = "dit_at_most_15", DropAtMost20 = "dit_at_most_20",
    SaturationBelow19 = "tsat_below_19", NotOrganic = "not_organic", ColourTest = "colour_test", MarketApproval = "market_approval",
    TrainedPerson = "trained_person", DosingEquipment = "dosing_equipment", ClearAndDry = "clear_and_dry", MlfBlocked = "mlf_blocked",
    ShortContact = "short_contact", OtherHurdles = "other_hurdles",
} }

words! { /// What a dose is in.
DoseUnit { GramsPerHl = "g/hL", MgPerL = "mg/L", GramsPerL = "g/L", EggWhites = "egg_whites_per_225_l" } }

/// A treatment, or an answer that is no act, by its word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Id(pub &'static str);

impl<'de> Deserialize<'de> for Id {
    fn deserialize<D: Deserializer<'de>>(reader: D) -> Result<Id, D::Error> {
        Id::read(&String::deserialize(reader)?).map_err(D::Error::custom)
    }
}

impl Id {
    /// The treatment or answer of this word.
    pub fn read(word: &str) -> Result<Id, String> {
        ACTS.iter()
            .chain(&ANSWERS)
            .find(|w| **w == word)
            .map(|w| Id(w))
            .ok_or_else(|| format!("“{word}” is no treatment and no answer of the cases"))
    }
    /// Whether it is an answer that is no act.
    pub fn is_answer(self) -> bool {
        ANSWERS.contains(&self.0)
    }
}

/// Answers that are no act.
const ANSWERS: [&str; 6] = [
    "measure_first",
    "bench_trial",
    "retest",
    "laboratory",
    "no_treatment",
    "none_cures",
];

/// Treatments.
#[rustfmt::skip]
const ACTS: [&str; 93] = [
    // Time, clearing and filtration.
    "wait_and_rack", "rack", "settle", "flotation", "centrifuge", "vacuum_filter", "barrel_maturation", "lees_ageing", "micro_oxygenation", "depth_sheets",
    "diatomaceous_earth", "crossflow", "membrane_045", "membrane_065", "membrane_080", "membrane_120",
    // Enzymes.
    "pectinase", "enzyme_side_activities", "beta_glucanase", "protease_heat", "glycosidase",
    // Mineral.
    "bentonite_na", "bentonite_ca", "bentonite_juice", "bentonite_ferment", "bentonite_riddling", "silica_sol", "synthetic_mineral",
    // Animal.
    "gelatin", "isinglass", "casein", "skim_milk", "egg_white",
    // Plant, yeast and fungus.
    "pea_protein", "potato_protein", "wheat_protein", "rice_protein", "soy_protein", "yeast_protein", "yeast_hulls", "yeast_fining", "inert_yeast",
    "chitosan", "chitin_glucan", "tannin", "unripe_grape_extract", "carrageenan",
    // Synthetic polymers and carbon.
    "pvpp", "pvi_pvp", "carbon_colour", "carbon_odour",
    // Tartrate and acid.
    "static_chilling", "natural_cold", "contact_seeding", "ion_exchange", "electrodialysis", "cmc", "metatartaric", "mannoprotein", "polyaspartate",
    "gum_arabic", "calcium_tartrate_seed", "dl_tartaric", "acidify_tartaric", "deacidify", "citric_acid",
    // Sulfide, metals, microbes, oxygen.
    "copper", "ferrocyanide", "aeration", "so2", "desulphite", "ascorbic", "sorbate", "lysozyme", "dmdc", "pasteurise", "inert_gas", "nutrient", "hygiene",
    "chill_stop", "warm_and_degas", "dark_storage",
    // Winemaking steps.
    "finish_mlf", "finish_ferment", "sweeten_at_bottling", "blend", "separate_fractions", "sort_fruit", "whole_bunch_press", "short_maceration",
    "press_earlier", "gentle_handling", "drink_early",
];
