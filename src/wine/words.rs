//! The closed sets of words a wine is described with. Shared with the build script, so it uses
//! nothing but serde.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

/// A member of a closed set.
pub trait Word: Copy + 'static {
    /// Every member, in the order shown.
    const EVERY: &'static [Self];
    /// The first of them.
    const FIRST: Self;
    /// Their stable keys, in the same order.
    const KEYS: &'static [&'static str];
    /// The place of this one among them.
    fn place(self) -> usize;
}

/// A member of a closed set by its key. Written out, since derived readers of forty sets weigh more
/// than this one text.
fn by_key<'de, D: Deserializer<'de>, W: Word>(reader: D) -> Result<W, D::Error> {
    let key = String::deserialize(reader)?;
    from_key(&key).ok_or_else(|| D::Error::unknown_variant(&key, W::KEYS))
}

fn from_key<W: Word>(key: &str) -> Option<W> {
    W::EVERY
        .get(W::KEYS.iter().position(|k| *k == key)?)
        .copied()
}

/// Defines a closed set: the enum, all its members, its stable key (as written in files) and its
/// name on screen.
macro_rules! word_set {
    ($(#[$meta:meta])* $name:ident { $($(#[$vmeta:meta])* $variant:ident = $key:literal, $label:literal;)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        pub enum $name { $($(#[$vmeta])* #[doc = $label] #[cfg_attr(feature = "schema", schemars(rename = $key))] $variant),* }
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, writer: S) -> Result<S::Ok, S::Error> { writer.serialize_str(self.key()) }
        }
        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(reader: D) -> Result<Self, D::Error> { by_key(reader) }
        }
        impl Word for $name {
            const EVERY: &'static [$name] = $name::ALL;
            const FIRST: $name = [$($name::$variant),*][0];
            const KEYS: &'static [&'static str] = &[$($key),*];
            fn place(self) -> usize { self as usize }
        }
        impl $name {
            /// Every member, in the order shown.
            pub const ALL: &'static [$name] = &[$($name::$variant),*];
            /// The stable key used in files and addresses.
            pub const fn key(self) -> &'static str { match self { $($name::$variant => $key),* } }
            /// The name on screen, in English.
            pub const fn label(self) -> &'static str { match self { $($name::$variant => $label),* } }
            /// The member with this key.
            pub fn from_key(key: &str) -> Option<$name> { from_key(key) }
        }
    };
}

word_set! { /// Colour of the wine. Orange follows white in law and red in tannin: an assumption that is shown.
Colour { White = "white", "White"; Rose = "rose", "Rosé"; Orange = "orange", "Orange"; Red = "red", "Red"; } }

word_set! { /// Kind of wine.
Style { StillDry = "still_dry", "Still, dry"; StillSweet = "still_sweet", "Still, with sugar";
    SparklingBase = "sparkling_base", "Sparkling base"; Fortified = "fortified", "Fortified"; Juice = "juice", "Juice";
    Fruit = "fruit", "Fruit wine"; } }

word_set! { /// Where the wine stands on its way to the bottle.
Stage { Juice = "juice", "Juice"; Fermenting = "fermenting", "Fermenting"; Dry = "dry", "Fermentation over";
    Ready = "ready", "Ready to bottle"; Bottled = "bottled", "Bottled"; } }

word_set! { /// Malolactic fermentation.
Malolactic { Pending = "pending", "Still to come"; Done = "done", "Done"; Blocked = "blocked", "Blocked"; } }

word_set! { /// What the winemaker wants of the bottling.
Wish { Unfiltered = "unfiltered", "Bottled unfiltered on purpose"; } }

word_set! { /// A lane of the limit line: what is shown together of a wine at a glance.
LaneKey { Clarity = "clarity", "Clarity"; Protein = "protein", "Protein"; Colour = "colour", "Colour"; Crystals = "crystals", "Crystals";
    Microbes = "microbes", "Microbes"; Air = "air", "Air"; } }

word_set! { /// When something must be shown.
Due { BeforeLine = "before_line", "Before the line"; AtLine = "at_line", "At the line"; Released = "released", "Before release"; } }

word_set! { /// What asks for a proof that nobody may waive.
Binds { Safety = "safety", "safety"; Law = "law", "law"; } }

word_set! { /// What has been done to the wine, or how it lies.
Past { OnLees = "on_lees", "On lees"; Fined = "fined", "Fined"; ColdStabilised = "cold_stabilised", "Cold-stabilised";
    Blended = "blended", "Blended"; Inhibited = "inhibited", "Crystal inhibitor added"; } }

word_set! { /// What the wine lies in.
Vessel { Steel = "steel", "Steel tank"; Concrete = "concrete", "Concrete"; Plastic = "plastic", "Fibreglass or plastic";
    Barrel = "barrel", "Barrel"; Clay = "clay", "Clay"; Glass = "glass", "Glass"; Bottle = "bottle", "Bottle"; } }

word_set! { /// What is wrong, or feared.
Problem { Haze = "haze", "Haze, or will not settle"; Protein = "protein", "Protein instability"; Crystals = "crystals", "Crystals, or their risk";
    Bitterness = "bitterness", "Bitterness"; Astringency = "astringency", "Astringency"; Browning = "browning", "Browning";
    Pinking = "pinking", "Pinking"; Colour = "colour", "Too much colour"; OffOdour = "off_odour", "Off-odour";
    BlockedFilter = "blocked_filter", "Blocked filter"; Microbes = "microbes", "Microbial risk";
    Refermentation = "refermentation", "Gas, or refermentation"; Brettanomyces = "brettanomyces", "Brettanomyces";
    Reduction = "reduction", "Reduction"; ExcessCopper = "excess_copper", "Too much copper"; ExcessIron = "excess_iron", "Too much iron";
    Calcium = "calcium", "Calcium crystals"; Deposit = "deposit", "Colour or quercetin deposit"; Rot = "rot", "Rot (laccase)";
    Smoke = "smoke", "Smoke taint"; VolatileAcidity = "volatile_acidity", "Volatile acidity"; Mousy = "mousy", "Mousy taint";
    Sourness = "sourness", "Too much acid"; } }

word_set! { /// A market with its own wine law.
Market { Eu = "eu", "European Union"; Gb = "gb", "Great Britain"; Us = "us", "United States"; Ca = "ca", "Canada"; Au = "au", "Australia";
    Nz = "nz", "New Zealand"; Jp = "jp", "Japan"; Cn = "cn", "China"; Za = "za", "South Africa"; Cl = "cl", "Chile"; Ar = "ar", "Argentina"; } }

word_set! { /// A body of law. Most markets have one; Australia has one for wine made there and, with New Zealand, one for all other wine.
Law { Eu = "eu", "European Union"; Gb = "gb", "Great Britain"; Us = "us", "United States"; Ca = "ca", "Canada"; Au = "au", "Australia, wine made there";
    Anz = "anz", "Australia New Zealand Food Standards Code"; Jp = "jp", "Japan"; Cn = "cn", "China"; Za = "za", "South Africa"; Cl = "cl", "Chile";
    Ar = "ar", "Argentina"; } }

word_set! { /// A claim the label makes.
Claim { Vegan = "vegan", "Vegan"; Vegetarian = "vegetarian", "Vegetarian"; NoEgg = "no_egg", "No egg"; NoMilk = "no_milk", "No milk";
    NoFish = "no_fish", "No fish"; NoSulfite = "no_added_sulfites", "No added sulfites"; Organic = "organic", "Organic"; } }

word_set! { /// An organic scheme.
Organic { Eu = "eu_organic", "EU organic"; Us = "us_organic", "US organic"; UsMadeWith = "us_made_with", "US made with organic grapes";
    Gb = "gb_organic", "GB organic"; Ca = "ca_organic", "Canada organic"; Au = "au_organic", "Australian organic"; Nz = "nz_organic", "NZ organic"; } }

word_set! { /// Equipment a treatment may call for.
Kit { Filter = "filter", "Sheet or cartridge filter"; CrossFlow = "cross_flow", "Cross-flow filter"; Chiller = "chiller", "Chiller";
    HeatExchanger = "heat_exchanger", "Heat exchanger"; Electrodialysis = "electrodialysis", "Electrodialysis unit";
    DosingUnit = "dosing_unit", "Dosing unit"; InertGas = "inert_gas", "Inert gas"; Centrifuge = "centrifuge", "Centrifuge";
    Flotation = "flotation", "Flotation unit"; IonExchange = "ion_exchange", "Ion-exchange column"; EarthFilter = "earth_filter", "Earth filter"; } }

word_set! { /// How a piece of equipment can be had.
KitMeans { Owned = "owned", "Owned"; Hired = "hired", "Hired"; Contractor = "contractor", "By contractor"; No = "none", "Not to be had"; } }

impl Market {
    /// The organic scheme taken for a market where none is named. In the United States it is the
    /// one that admits sulfites: the
    /// other, which admits none, forbids them only to whoever names it.
    pub const fn usual_scheme(self) -> Option<Organic> {
        match self {
            Market::Eu => Some(Organic::Eu),
            Market::Gb => Some(Organic::Gb),
            Market::Us => Some(Organic::UsMadeWith),
            Market::Ca => Some(Organic::Ca),
            Market::Au => Some(Organic::Au),
            Market::Nz => Some(Organic::Nz),
            Market::Jp | Market::Cn | Market::Za | Market::Cl | Market::Ar => None,
        }
    }
}

word_set! { /// What a thing is made of, from nothing added to an animal killed. The order is the ordinal used in ranking.
Origin { Nothing = "nothing", "Nothing added"; Mineral = "mineral", "Mineral"; Plant = "plant", "Plant"; Fungal = "fungal", "Yeast or fungus";
    Synthetic = "synthetic", "Synthetic"; Milk = "milk", "Milk"; Egg = "egg", "Egg"; Fish = "fish", "Fish"; Animal = "animal", "Animal (pig or cattle)";
    Unknown = "unknown", "Origin not known"; } }

word_set! { /// How a figure is known.
Standing { Read = "read", "read"; Derived = "derived", "derived"; Judgement = "judgement", "judgement"; Memory = "memory", "from memory";
    CommonPractice = "common_practice", "common practice"; } }

word_set! { /// What was read of a law.
Evidence { InForce = "in_force", "text in force read"; Earlier = "earlier", "earlier text read"; Secondary = "secondary", "read in a text that quotes it"; Concluded = "concluded", "concluded from texts read";
    Memory = "memory", "not read"; } }

word_set! { /// Whose rule it is.
RuleBasis { Own = "own", "the market's own rule for wine made there"; Import = "import", "import rule"; Acceptance = "acceptance", "mutual acceptance"; } }

word_set! { /// What a rule says.
Verdict { Permitted = "permitted", "Permitted"; Free = "free", "No permission asked for by the texts read";
    Forbidden = "forbidden", "Forbidden"; } }

word_set! { /// What a legal limit bounds.
LimitKind { Dose = "dose", "dose"; Sum = "sum", "sum over must and wine"; Residue = "residue", "most left in the finished wine";
    Floor = "floor", "least left in the finished wine"; Process = "process", "process parameter"; } }

word_set! { /// The small closed set of processes every effect is made of.
Process { Adsorption = "adsorption", "adsorption"; Bitartrate = "bitartrate", "bitartrate removal"; Inhibition = "inhibition", "crystal inhibition";
    AcidBase = "acid_base", "acid-base change"; SulfurDioxide = "sulfur_dioxide", "sulfur dioxide"; Ions = "ions", "ion removal";
    Settling = "settling", "settling"; Filtration = "filtration", "filtration"; Heat = "heat", "heat"; Enzyme = "enzyme", "enzyme";
    Addition = "addition", "addition"; Fermentation = "fermentation", "fermentation"; Blending = "blending", "blending"; Gas = "gas", "gas exchange"; } }

word_set! { /// What a dose is measured in.
Basis { GramsPerHl = "g_per_hl", "g/hL"; MilligramsPerLitre = "mg_per_l", "mg/L"; MillilitresPerHl = "ml_per_hl", "mL/hL";
    CopperMgPerL = "cu_mg_per_l", "mg/L as Cu"; SorbicMgPerL = "sorbic_mg_per_l", "mg/L as sorbic acid"; SulfurMgPerL = "so2_mg_per_l", "mg/L as SO₂";
    NoDose = "none", "no dose"; } }

word_set! { /// How often a sign goes with a cause: five words, a judgement.
Likely { Never = "never", "never"; Seldom = "seldom", "seldom"; Sometimes = "sometimes", "sometimes"; Often = "often", "often";
    NearlyAlways = "nearly_always", "nearly always"; } }

word_set! { /// Where a sign is found.
Place { Seen = "seen", "Seen, smelled, remembered"; Cellar = "cellar", "Quick test in the cellar"; Laboratory = "laboratory", "Laboratory only"; } }

word_set! { /// What grows in a bottle and what a barrier at the filler holds back or kills.
Germ { Yeast = "yeast", "Yeast"; Bacteria = "bacteria", "Bacteria"; } }

word_set! { /// What stops germs from growing and kills none.
Hurdle { SulfurDioxide = "sulfur_dioxide", "Molecular sulfur dioxide"; Sorbate = "sorbate", "Sorbate"; Acid = "acid", "A low pH";
    FumaricAcid = "fumaric_acid", "Fumaric acid"; Cold = "cold", "Cold"; NoFood = "no_food", "No food left"; } }

word_set! { /// Who may do it.
Access { Anyone = "anyone", "Cellar staff"; Qualified = "qualified", "Under a qualified oenologist";
    Trained = "trained", "Trained operator with a dosing unit only: never dosed here"; Licensed = "licensed", "Licensed person only: never dosed here"; } }

word_set! { /// Where in a route a treatment has its place, first to last.
Phase { Ferment = "ferment", "Finish the ferments"; Blend = "blend", "Blend and acid"; Enzyme = "enzyme", "Enzymes"; Settle = "settle", "Settle";
    Fine = "fine", "Fine"; Cold = "cold", "Cold and ions"; Clarify = "clarify", "Filter"; Stabilise = "stabilise", "Stabilise"; Protect = "protect", "Protect";
    Filler = "filler", "At the filler"; } }

word_set! { /// What a route does for a stability that was measured outside its limit.
RoutePart { Need = "need", "its problem is met by the route"; Last = "last", "corrected at the end of every route"; } }
word_set! { /// Parts of the sheet for a bench trial.
BenchPart { Stock = "stock", "Stock"; Glasses = "glasses", "Glasses"; Reading = "reading", "Reading"; Tasting = "tasting", "Tasting"; After = "after", "After"; } }

word_set! { /// What a rule says of an act where its condition holds.
RuleVerdict { Never = "never", "Never"; Hold = "hold", "Measure first"; Caution = "caution", "With caution"; Preferred = "preferred", "First";
    GoesBefore = "goes_before", "Order"; NeedsAfter = "needs_after", "After it"; NeedsBefore = "needs_before", "Before it";
    UntilShown = "until_shown", "Only once it is shown"; Apart = "apart", "Apart"; } }

word_set! { /// What an honest answer says beside the treatments of a need, or in their place.
Honest { MeasureFirst = "measure_first", "Measure first"; WaitAndRack = "wait_and_rack", "Wait and rack"; Laboratory = "laboratory", "Ask a laboratory or a specialist"; NothingCures = "nothing_cures", "Nothing here cures this";
    Prevent = "prevent", "Prevent it next year"; Declassify = "declassify", "Declassify"; LiveWith = "live_with", "May be lived with"; } }

word_set! { /// How strong a rule is, the strongest first.
Strength { Safety = "safety", "safety"; Law = "law", "law"; Measured = "measured", "what was measured"; Chemistry = "chemistry", "chemistry"; Order = "order", "order"; Preference = "preference", "preference"; } }

word_set! { /// What a rule asks of the act itself.
OfAct { OverBound = "over_bound", "bound"; AtEdge = "at_edge", "edge"; GivenSince = "given_since", "since";
    Licensed = "licensed", "licensed"; OperatorMissing = "operator_missing", "operator";
    LawForbids = "law_forbids", "forbidden"; LawNotListed = "law_not_listed", "unlisted"; LawOtherUse = "law_other_use", "use"; CapBelowUseful = "cap_below_useful", "cap";
    ClaimBroken = "claim_broken", "claim"; SchemeForbids = "scheme_forbids", "scheme"; StyleExcluded = "style_excluded", "style";
    InBottle = "in_bottle", "bottle"; StageNotIts = "stage_not_its", "stage"; KitMissing = "kit_missing", "kit"; LotBelowMinimum = "lot_below_minimum", "lot";
    NoEffect = "no_effect", "effect"; NotInLine = "not_in_line", "line"; } }

word_set! { /// Family of treatments.
Family { Time = "time", "Time and force"; Filter = "filter", "Filters"; Enzyme = "enzyme", "Enzymes"; Fining = "fining", "Fining";
    Tartrate = "tartrate", "Tartrate and acid"; Microbe = "microbe", "Microbes and oxygen"; } }

word_set! { /// What may be known of a wine. `label` is the name on screen; units and ranges are in [`Quantity::facts`].
Quantity { Ph = "ph", "pH"; Alcohol = "alcohol", "Alcohol"; TitratableAcidity = "titratable_acidity", "Titratable acidity";
    FreeSo2 = "free_so2", "Free SO₂"; TotalSo2 = "total_so2", "Total SO₂"; Sugar = "sugar", "Glucose + fructose"; Malic = "malic", "Malic acid";
    Turbidity = "turbidity", "Turbidity"; HeatRise = "heat_rise", "Heat test rise"; Potassium = "potassium", "Potassium"; Tartaric = "tartaric", "Tartaric acid";
    Calcium = "calcium", "Calcium"; Sodium = "sodium", "Sodium"; Copper = "copper", "Copper"; Iron = "iron", "Iron"; ConductivityDrop = "conductivity_drop", "Mini-contact test drop";
    CloggingIndex = "clogging_index", "Clogging index"; StorageTemperature = "storage_temperature", "Storage temperature";
    Bitter = "bitter", "Bitterness (share left)"; Astringent = "astringent", "Astringency (share left)"; Brown = "brown", "Brown colour (share left)";
    Pink = "pink", "Pinking (share left)"; Colour = "colour", "Colour (share left)"; Odour = "odour", "Off-odour (share left)"; Aroma = "aroma", "Aroma (share left)";
    Tannin = "tannin", "Tannin (share left)"; Germs = "germs", "Yeast and bacteria (survivors)";
    Yeast = "yeast", "Yeast (survivors)"; Brett = "brett", "Brettanomyces (survivors)"; Sulfides = "sulfides", "Sulfides and thiols (share left)";
    Deposit = "deposit", "Colour deposit (share left)"; Laccase = "laccase", "Laccase (share left)"; Smoke = "smoke", "Smoke taint (share left)";
    Mousy = "mousy", "Mousy taint (share left)"; VolatileAcidity = "volatile_acidity", "Volatile acidity"; Oxygen = "oxygen", "Dissolved oxygen";
    CarbonDioxide = "carbon_dioxide", "Dissolved CO₂"; AddedProtein = "added_protein", "Protein added"; Water = "water", "Water added";
    MolecularSo2 = "molecular_so2", "Molecular SO₂ (by free SO₂ and pH)"; HeatRiseMild = "heat_rise_mild", "Mild heat test rise (70 °C, 15 min)";
    HeatRiseHard = "heat_rise_hard", "Hard heat test rise (80 °C, 6 h)"; ColdHold = "cold_hold", "Crystals in the cold hold at −4 °C";
    ColdColour = "cold_colour", "Colour that falls in 48 h at 0–4 °C"; BrettCells = "brett_cells", "Brettanomyces cells";
    Ethylphenol = "ethylphenol", "4-Ethylphenol"; AceticRise = "acetic_rise", "Volatile acidity rise in a week";
    Ullage = "ullage", "Air above the wine"; BrownsInAir = "browns_in_air", "Browning in a half-full glass for 48 h";
    PinkRise = "pink_rise", "Pinking test rise at 500 nm"; Vmax = "vmax", "Vmax (0.65 µm disc of 25 mm)";
    SaturationTemperature = "saturation_temperature", "Saturation temperature of bitartrate";
    YeastCells = "yeast_cells", "Living yeast cells"; YeastPlate = "yeast_plate", "Yeast plate count, 250 mL filtered or bottled";
    BacteriaPlate = "bacteria_plate", "Bacteria plate count, 100 mL filtered or bottled";
    BrettPlate = "brett_plate", "Brettanomyces plate count, 250 mL filtered or bottled";
    CopperGlass = "copper_glass", "Smell left in a glass with copper";
    AscorbicGlass = "ascorbic_glass", "Smell gone in a glass with ascorbic acid, then copper";
    Thin = "thin", "Thin body, as tasted"; } }

impl Quantity {
    /// Whether it is a number of germs that is followed as the survivors of those that were there.
    pub const fn is_germs(self) -> bool {
        matches!(self, Quantity::Germs | Quantity::Yeast | Quantity::Brett)
    }

    /// Whether it is a number of germs, followed or counted.
    pub const fn counts_germs(self) -> bool {
        matches!(
            self,
            Quantity::BrettCells
                | Quantity::YeastCells
                | Quantity::YeastPlate
                | Quantity::BacteriaPlate
                | Quantity::BrettPlate
        ) || self.is_germs()
    }

    /// Its name on screen without how it is followed.
    pub fn bare(self) -> &'static str {
        let name = self.label();
        let name = name.strip_suffix(" (share left)").unwrap_or(name);
        name.strip_suffix(" (survivors)").unwrap_or(name)
    }
}

word_set! { /// How far and how warm the wine travels, and so how hard its tests must be.
Journey { Home = "home", "Home market, kept cool"; Warm = "warm", "Hot market or long voyage"; } }
