// The shape of every fact. Included twice: by the build script, where text and lists are owned and
// read from the data
// files, and by the library, where they are static. `shape!`, `Text`, `List` and `W` are given by
// the includer.

shape! {
    /// A figure with its spread, how it is known and where it comes from.
    pub struct Estimate {
        /// Low end of the range.
        pub low: f64,
        /// Most likely value.
        pub middle: f64,
        /// High end of the range.
        pub high: f64,
        /// How it is known.
        pub standing: W<Standing>,
        /// Source key; empty only for common practice and memory.
        #[serde(default)]
        pub source: Text,
    }

    /// A statement with how it is known and where it comes from.
    pub struct Fact {
        /// The statement, in our own words.
        pub text: Text,
        /// How it is known.
        pub standing: W<Standing>,
        /// Source key; empty only for common practice and memory.
        #[serde(default)]
        pub source: Text,
    }

    /// A work that facts are drawn from.
    pub struct Source {
        /// Key used beside each figure.
        pub key: Text,
        /// Full citation.
        pub title: Text,
        /// What of it was read.
        pub read: Text,
    }

    /// What a treatment does to one quantity, through one process, at a useful dose.
    pub struct Effect {
        /// The process.
        pub process: W<Process>,
        /// The quantity acted on.
        pub on: W<Quantity>,
        /// Share of the quantity taken away at a useful dose, 0 to 1. Never of germs.
        pub removes: Option<Estimate>,
        /// Of germs: the powers of ten by which it lowers their count at a useful dose.
        pub logs: Option<Estimate>,
        /// Of germs: what stops their growth and lowers no count.
        pub hurdle: Option<W<Hurdle>>,
        /// Amount added, in the unit of the quantity: per unit of dose where there is a dose, else
        /// in all.
        pub adds: Option<Estimate>,
        /// The quantity whose test judges what it does, where that of `on` does not. Then it
        /// changes no reading of `on`, and the
        /// figure above is a judgement of how often it is enough.
        pub judged_by: Option<W<Quantity>>,
        /// What to know about it.
        pub note: Option<Text>,
    }

    /// A reading up to which a treatment is used.
    pub struct Bound {
        /// The quantity read.
        pub on: W<Quantity>,
        /// Reading from which on it is not sure any more; absent where nothing says so.
        pub careful: Option<f64>,
        /// Greatest reading with which it is used.
        pub most: f64,
        /// Days before the act in which a reading must have shown that; absent where only a reading
        /// above speaks against it.
        pub shown: Option<Window>,
        /// Why.
        pub why: Fact,
    }

    /// How much is used.
    pub struct Dose {
        /// What the figures are measured in.
        pub basis: W<Basis>,
        /// Useful range (not the legal ceiling).
        pub range: Estimate,
        /// Usual rungs of the bench ladder, ascending, starting at 0.
        #[serde(default)]
        pub ladder: List<f64>,
        /// What the dose is counted as: dry matter, product as sold with its strength, a salt.
        pub counted_as: Text,
        /// The active substance, where the product is a salt or a solution.
        pub active: Option<Text>,
        /// Grams of active substance in one gram (or millilitre) of product.
        pub active_share: Option<f64>,
        /// True when the dose is found by trial, so that none is given without one.
        pub by_trial: bool,
        /// Strength of the bench stock, % w/v.
        pub stock_percent: Option<f64>,
        /// Sentence on how the ladder was chosen.
        pub note: Option<Fact>,
    }

    /// A price, so that a cost can be worked out.
    pub struct Price {
        /// Money per kilogram (or litre) of product; or per hectolitre for a service.
        pub amount: Estimate,
        /// True when `amount` is per hectolitre of wine.
        #[serde(default)]
        pub per_hl: bool,
        /// Currency of the figure.
        pub currency: Text,
        /// Year of the figure.
        pub year: u16,
    }

    /// A treatment, whole.
    pub struct Treatment {
        /// Stable key.
        pub key: Text,
        /// Generic name.
        pub name: Text,
        /// Family.
        pub family: W<Family>,
        /// Key of the material or process in law; several treatments may share one.
        pub material: Text,
        /// The treatment of which it is a grade: a route holds one of them, and a list puts the
        /// others after the other agents.
        pub grade_of: Option<Text>,
        /// One sentence: what it is for.
        pub summary: Text,
        /// How it works.
        pub mechanism: List<Fact>,
        /// What it is made of.
        pub origin: W<Origin>,
        /// Why that origin, and what to ask of the supplier.
        pub origin_note: Fact,
        /// True when the thing stays in the wine (an additive), so that it appears in an ingredient
        /// list where there is one.
        #[serde(default)]
        pub stays: bool,
        /// Allergen and label consequences.
        pub label: List<Fact>,
        /// Who may do it.
        pub access: W<Access>,
        /// Stages at which it is used.
        pub stages: List<W<Stage>>,
        /// Styles it is not for.
        #[serde(default)]
        pub not_styles: List<W<Style>>,
        /// Dose; absent for physical treatments and for what only a licensed person may do.
        pub dose: Option<Dose>,
        /// What it does.
        pub effects: List<Effect>,
        /// Preparation, step by step.
        pub preparation: List<Fact>,
        /// Contact and settling, as text.
        pub contact: List<Fact>,
        /// Days from the start until the wine is clear of it.
        pub days: Estimate,
        /// Longest it may stay in the wine, or the wine wait after it, days.
        pub longest_days: Option<Estimate>,
        /// Least wait from the act to the next step or to the bottle, days.
        pub wait_days: Option<Estimate>,
        /// Temperature of the wine it works at, °C.
        pub temperature: Option<Estimate>,
        /// True where it works at the coldest that each wine bears, half a degree above its own
        /// freezing point.
        #[serde(default)]
        pub coldest: bool,
        /// Wine lost, % of the volume.
        pub loss_percent: Estimate,
        /// Labour, hours for one tank.
        pub labour_hours: Estimate,
        /// Energy, kWh per hL.
        pub energy_kwh_per_hl: Option<Estimate>,
        /// Water, L per hL.
        pub water_l_per_hl: Option<Estimate>,
        /// Strength of the slurry or solution in water for the cellar, % w/v; absent where it goes
        /// in neat, dry or in wine.
        pub slurry: Option<Estimate>,
        /// Price of the product or service.
        pub price: Option<Price>,
        /// Equipment called for; one of them is enough when `any_kit` is set.
        #[serde(default)]
        pub kit: List<W<Kit>>,
        /// True when one of the kits is enough.
        #[serde(default)]
        pub any_kit: bool,
        /// Over-treatment and its test.
        pub over: List<Fact>,
        /// Keys of the cautions shown beside the step.
        pub cautions: List<Text>,
        /// Quantities whose measurements it voids.
        #[serde(default)]
        pub voids: List<W<Quantity>>,
        /// Where sources disagree: each side.
        #[serde(default)]
        pub disagree: List<Fact>,
        /// Readings up to which it is used. Only a reading of this wine that lies above shuts it
        /// out.
        #[serde(default)]
        pub bounds: List<Bound>,
        /// Germs that it keeps from the bottle where it is the last thing done to the wine, at the
        /// filler or in the bottle. Empty
        /// where it only lowers their number, as every filter that is rated by name does.
        #[serde(default)]
        pub germ_barrier: List<W<Germ>>,
        /// Why it counts as a barrier, or against which germs it does not.
        pub germ_barrier_why: Option<Fact>,
        /// Why it may follow a germ filter: it is done in the sterile line, or at the filler, on the
        /// bottling day. Absent where it brings germs behind the filter.
        pub in_line: Option<Fact>,
    }

    /// What holds for a bench trial.
    pub struct BenchRule {
        /// Which part of the sheet it belongs to.
        pub about: W<BenchPart>,
        /// Treatments it concerns; empty for all.
        #[serde(default)]
        pub treatments: List<Text>,
        /// Quantities read that it concerns; empty for all.
        #[serde(default)]
        pub quantities: List<W<Quantity>>,
        /// The rule.
        pub rule: Fact,
    }

    /// A safety caution.
    pub struct Caution {
        /// Stable key.
        pub key: Text,
        /// The caution in plain words.
        pub text: Fact,
    }

    /// A band that a quantity must lie in.
    pub struct NeedBand {
        /// Colours it holds for; empty for all.
        #[serde(default)]
        pub colours: List<W<Colour>>,
        /// Stages it holds for; empty for all.
        #[serde(default)]
        pub stages: List<W<Stage>>,
        /// Journeys whose test it holds for; empty for all.
        #[serde(default)]
        pub journeys: List<W<Journey>>,
        /// Least, or none.
        pub floor: Option<f64>,
        /// Most, or none.
        pub ceiling: Option<f64>,
        /// Where the band comes from.
        pub why: Fact,
    }

    /// What a problem smells of, so that somebody must taste that it is gone.
    pub struct SmellFacts {
        /// How it is told.
        pub words: Fact,
        /// Treatments that are done against it.
        #[serde(default)]
        pub after: List<Text>,
    }

    /// A problem: the quantity it shows in, the bands it needs, what to measure first.
    pub struct ProblemFacts {
        /// The problem.
        pub problem: W<Problem>,
        /// The quantity a treatment must move.
        pub quantity: W<Quantity>,
        /// What the wine loses when it is not met (a lower class, rework, bottles back), % of its
        /// value.
        pub loss_percent: Estimate,
        /// Bands; the first that fits the wine is used. None: only the share left can be judged.
        #[serde(default)]
        pub bands: List<NeedBand>,
        /// Find the cause or measure first: what to do before any treatment.
        pub first: List<Fact>,
        /// Common errors of the trade, met where they arise.
        #[serde(default)]
        pub errors: List<Fact>,
        /// What no treatment cures.
        #[serde(default)]
        pub no_cure: List<Fact>,
        /// How it smells; absent where it is no smell.
        pub smell: Option<SmellFacts>,
    }

    /// A typical value of what nobody measured.
    pub struct Typical {
        /// The quantity.
        pub quantity: W<Quantity>,
        /// Colours; empty for all.
        #[serde(default)]
        pub colours: List<W<Colour>>,
        /// Styles; empty for all.
        #[serde(default)]
        pub styles: List<W<Style>>,
        /// The value with its spread.
        pub value: Estimate,
    }

    /// What a label must say, by one body of law.
    pub struct LabelRule {
        /// What it is about.
        pub about: Text,
        /// Amount from which it holds, where there is one.
        pub from: Option<f64>,
        /// Unit of the amount.
        #[serde(default)]
        pub unit: Text,
        /// The rule.
        pub rule: Fact,
    }

    /// A list of substances that was read whole, outside of which nothing may be given. It says
    /// nothing of handling and machines.
    pub struct ClosedList {
        /// Its name.
        pub name: Text,
        /// That it is closed.
        pub why: Fact,
    }

    /// A body of law in general.
    pub struct LawFacts {
        /// The body.
        pub law: W<Law>,
        /// Name of the law.
        pub name: Text,
        /// Editions read and their dates.
        pub edition: Text,
        /// Who confirms it.
        pub authority: Text,
        /// What to do with anything not listed.
        pub unlisted: Fact,
        /// The list of what may be given, where it is closed and was read whole; what it does not
        /// name is not listed.
        pub closed: Option<ClosedList>,
        /// What the label must say.
        #[serde(default)]
        pub labels: List<LabelRule>,
    }

    /// One market accepting the practices of another.
    pub struct Acceptance {
        /// Where the wine is made.
        pub made: List<W<Market>>,
        /// Where it is sold.
        pub sold: List<W<Market>>,
        /// The agreement.
        pub text: Text,
        /// Article.
        pub article: Text,
        /// What was read.
        pub evidence: W<Evidence>,
        /// Source key.
        pub source: Text,
    }

    /// One bound in a rule.
    pub struct Limit {
        /// What it bounds.
        pub kind: W<LimitKind>,
        /// Quantity bounded, for residues and floors.
        pub quantity: Option<W<Quantity>>,
        /// The value.
        pub value: f64,
        /// Unit of the value.
        pub unit: Text,
        /// True for "less than", false for "at most" (or "at least" for a floor).
        #[serde(default)]
        pub strict: bool,
        /// What was read of the figure.
        pub evidence: W<Evidence>,
        /// The limit in words, with its article.
        pub text: Text,
    }

    /// A rule of law on materials or processes.
    pub struct LawRule {
        /// Material keys.
        pub materials: List<Text>,
        /// Bodies of law.
        pub law: List<W<Law>>,
        /// Colours; empty for all.
        #[serde(default)]
        pub colours: List<W<Colour>>,
        /// Stages; empty for all.
        #[serde(default)]
        pub stages: List<W<Stage>>,
        /// Styles; empty for all.
        #[serde(default)]
        pub styles: List<W<Style>>,
        /// Problems that it permits the use for; empty for any. It permits no other use.
        #[serde(default)]
        pub problems: List<W<Problem>>,
        /// What it says.
        pub verdict: W<Verdict>,
        /// Article.
        pub article: Text,
        /// What was read.
        pub evidence: W<Evidence>,
        /// Of a row from memory: the source key of a second text in which it stands, so that it is
        /// believed; empty where there is none.
        #[serde(default)]
        pub second: Text,
        /// Date or edition of the text that was read.
        pub edition: Text,
        /// True when the listing was read, but not whether a number stands beside it.
        #[serde(default)]
        pub limits_unread: bool,
        /// Bounds.
        #[serde(default)]
        pub limits: List<Limit>,
        /// Conditions (qualified person, register, prior trial, filtration...).
        #[serde(default)]
        pub conditions: List<Text>,
        /// Source key.
        pub source: Text,
    }

    /// Whether organic schemes list materials.
    pub struct OrganicRule {
        /// Schemes.
        pub schemes: List<W<Organic>>,
        /// Material keys.
        pub materials: List<Text>,
        /// What they say.
        pub verdict: W<Verdict>,
        /// Condition or article.
        pub text: Text,
        /// What was read.
        pub evidence: W<Evidence>,
        /// Source key.
        pub source: Text,
    }

    /// A limit on sulfur dioxide.
    pub struct So2Limit {
        /// Bodies of law.
        pub law: List<W<Law>>,
        /// Organic schemes it belongs to, if any.
        #[serde(default)]
        pub schemes: List<W<Organic>>,
        /// Colours; empty for all.
        #[serde(default)]
        pub colours: List<W<Colour>>,
        /// Styles; empty for all.
        #[serde(default)]
        pub styles: List<W<Style>>,
        /// Wines named in the law to which alone it applies; never taken without being asked for.
        pub only_for: Option<Text>,
        /// Holds from this much sugar, g/L.
        pub sugar_from: Option<f64>,
        /// Holds below this much sugar, g/L.
        pub sugar_below: Option<f64>,
        /// Most total SO2, mg/L.
        pub most: f64,
        /// Most free SO2, mg/L, where the law has one.
        pub most_free: Option<f64>,
        /// Article.
        pub article: Text,
        /// What was read.
        pub evidence: W<Evidence>,
        /// Source key.
        pub source: Text,
    }

    /// Treatments of one phase of a route, in their order.
    pub struct PhaseFacts {
        /// The phase.
        pub phase: W<Phase>,
        /// Colours this order holds for; empty for all. The first that fits the wine and names a
        /// treatment counts.
        #[serde(default)]
        pub colours: List<W<Colour>>,
        /// Treatments in their order.
        pub treatments: List<Text>,
        /// Why this order.
        pub why: Fact,
    }

    /// One question of a condition about an act: exactly one of its fields asks.
    pub struct Question {
        /// Acts of which one must have been done: by the log, or earlier in the plan or route.
        #[serde(default)]
        pub done: List<Text>,
        /// Acts of which one must come earlier in the same plan or route; the log does not count.
        #[serde(default)]
        pub beside: List<Text>,
        /// A sign that must have been seen.
        pub sign: Option<Text>,
        /// A cause that must be the likeliest, by itself or with another, with a share of at least
        /// `diagnosis::LIKELY` together.
        pub cause: Option<Text>,
        /// Whether signs were answered and no cause is that likely.
        #[serde(default)]
        pub cause_open: bool,
        /// Problems of which one must have been named.
        #[serde(default)]
        pub named: List<W<Problem>>,
        /// A quantity that must have been measured over the limit of its stability, or of its
        /// problem.
        pub over_limit: Option<W<Quantity>>,
        /// A quantity to which the act must add, by more than what is lost in the error of a reading.
        pub adds: Option<W<Quantity>>,
        /// A quantity that must have been measured above a figure of its own.
        pub above: Option<Above>,
        /// A quantity that a reading must show to be no higher than a figure of its own.
        pub at_most: Option<Above>,
        /// A quantity that must not have been read.
        pub unread: Option<W<Quantity>>,
        /// A quantity whose test must show it inside its limit.
        pub shown: Option<W<Quantity>>,
        /// Colours of which it must have one.
        #[serde(default)]
        pub colours: List<W<Colour>>,
        /// Stages of which it must be in one.
        #[serde(default)]
        pub stages: List<W<Stage>>,
        /// Claims of which one must be made of it.
        #[serde(default)]
        pub claims: List<W<Claim>>,
        /// Answers on the malolactic fermentation of which one must have been given.
        #[serde(default)]
        pub malolactic: List<W<Malolactic>>,
        /// Asks of the act itself.
        pub act: Option<W<OfAct>>,
        /// Whether the answer is turned round.
        #[serde(default)]
        pub not: bool,
    }

    /// A figure that is no limit of a stability.
    pub struct Above {
        /// The quantity.
        pub on: W<Quantity>,
        /// The figure, in its unit.
        pub most: f64,
    }

    /// Questions of which one must hold.
    pub struct Clause {
        /// The questions.
        pub any: List<Question>,
    }

    /// A rule that speaks for or against an act.
    pub struct Rule {
        /// Stable key.
        pub key: Text,
        /// Treatments it is about; empty for all.
        #[serde(default)]
        pub about: List<Text>,
        /// Problems for which it holds; empty for every use.
        #[serde(default)]
        pub needs: List<W<Problem>>,
        /// Clauses that must all hold; none where it always holds, as an order may.
        #[serde(default)]
        pub when: List<Clause>,
        /// What it says where they hold.
        pub verdict: W<RuleVerdict>,
        /// The acts that it goes before, that must follow or come before it, or that come hours
        /// after it.
        #[serde(default)]
        pub acts: List<Text>,
        /// Acts that do as well as those that must follow or come before it.
        #[serde(default)]
        pub unless: List<Text>,
        /// Whether what must come before it counts wherever it was done earlier; else only what no
        /// fining, racking or other act that clouds the wine came after.
        #[serde(default)]
        pub once: bool,
        /// Hours that lie between it and a later one of `acts`.
        pub hours: Option<f64>,
        /// How strong it is.
        pub strength: W<Strength>,
        /// Why.
        pub why: Fact,
    }

    /// An answer that is no treatment, for the needs and the wines that it fits.
    pub struct HonestRow {
        /// Stable key.
        pub key: Text,
        /// Problems in whose answer it is said.
        pub needs: List<W<Problem>>,
        /// Clauses that must all hold; none where it is said of every wine with such a problem.
        #[serde(default)]
        pub when: List<Clause>,
        /// What it says.
        pub says: W<Honest>,
        /// Why, or how.
        pub why: Fact,
    }

    /// How old a test may be on the bottling day.
    pub struct Window {
        /// Days; 0 is the day itself.
        pub days: f64,
        /// Why.
        pub why: Fact,
    }

    /// When a problem counts as met that no band of its own quantity tells of.
    pub struct Enough {
        /// The problem.
        pub problem: W<Problem>,
        /// Greatest share left; absent for germs.
        pub left: Option<f64>,
        /// Of germs: the powers of ten by which their count must fall.
        pub logs: Option<f64>,
        /// Of germs: what is enough where they were counted.
        pub counted: Option<Counted>,
        /// Why.
        pub why: Fact,
    }

    /// How many germs may be left where they were counted.
    pub struct Counted {
        /// The quantity that was counted.
        pub quantity: W<Quantity>,
        /// Survivors stay below so many, in the unit of the quantity.
        pub under: f64,
        /// Why.
        pub why: Fact,
    }

    /// What stops germs from growing and kills none, with what it leans on.
    pub struct HurdleFacts {
        /// Which.
        pub hurdle: W<Hurdle>,
        /// Quantities that it holds by.
        pub leans_on: List<W<Quantity>>,
        /// What it does, and what it does not.
        pub why: Fact,
    }

    /// What may take the place of a limit: a barrier that keeps germs from the bottle.
    pub struct BarrierRule {
        /// Germs that it must keep back.
        pub against: List<W<Germ>>,
        /// Treatments that count though they keep only some of these back.
        #[serde(default)]
        pub also: List<Text>,
        /// The germ that is counted behind it.
        pub counted: W<Germ>,
        /// Why, and what counts.
        pub why: Fact,
    }

    /// Something looked at in the last days before bottling, beside the stabilities.
    pub struct LastCheck {
        /// Stable key.
        pub key: Text,
        /// Its name.
        pub name: Text,
        /// The quantity read; none for what is passed or failed.
        pub quantity: Option<W<Quantity>>,
        /// True where the bands are of molecular SO2, mg/L, and the quantity is free SO2.
        #[serde(default)]
        pub molecular: bool,
        /// Margin above a floor, in the unit of the quantity.
        #[serde(default)]
        pub margin: f64,
        /// Bands; the first that fits the colour is used.
        #[serde(default)]
        pub bands: List<NeedBand>,
        /// What is done, what passes, and what to do if not.
        pub test: Fact,
        /// Most days between it and the bottling.
        pub window: Window,
        /// Quantity whose voiding voids it; none: where nothing but time does.
        pub voided_with: Option<W<Quantity>>,
        /// Acts after which alone it is asked for; empty for always.
        #[serde(default)]
        pub only_after: List<W<Past>>,
        /// Treatments whose barrier against germs it is part of the proof of.
        #[serde(default)]
        pub barrier_of: List<Text>,
        /// Germs that it counts behind a barrier: asked for only where such a barrier is needed.
        /// Empty for what is always asked for.
        #[serde(default)]
        pub against: List<W<Germ>>,
        /// True where it is asked for once for each smell that was named or treated.
        #[serde(default)]
        pub each_smell: bool,
        /// Styles it is not for.
        #[serde(default)]
        pub not_styles: List<W<Style>>,
        /// When it must be shown.
        pub due: W<Due>,
        /// Wishes that take it away, unless a barrier against germs needs it.
        #[serde(default)]
        pub lifted_by: List<W<Wish>>,
        /// What asks for it, where nobody may waive it.
        pub binds: Option<W<Binds>>,
        /// True where it is asked of a faulty bottled wine, and of that alone.
        #[serde(default)]
        pub of_bottles: bool,
        /// Problems of which one must be named for it to be asked; empty for any.
        #[serde(default)]
        pub only_for: List<W<Problem>>,
        /// The lane that shows it at a glance, once it was looked at; none where no lane does.
        pub lane: Option<W<LaneKey>>,
    }

    /// What so much carbon dioxide in a closed bottle does.
    pub struct GasLevel {
        /// From how much on, g/L.
        pub from: f64,
        /// What it does.
        pub means: Fact,
    }

    /// Most water that all slurries together may bring.
    pub struct WaterRule {
        /// Bodies of law.
        pub law: List<W<Law>>,
        /// % of the wine.
        pub most_percent: f64,
        /// The rule, with its article.
        pub rule: Fact,
    }

    /// Equipment that is not taken as to be had before that is said: few cellars own it, though it
    /// may be hired.
    pub struct CostlyKit {
        /// The equipment.
        pub kit: W<Kit>,
        /// Why.
        pub why: Fact,
    }

    /// What is known of the area that filters need.
    pub struct FilterFacts {
        /// Treatments it holds for.
        pub treatments: List<Text>,
        /// What they hold back.
        pub grade: Fact,
        /// Flow of wine, L/m²/h.
        pub flux: Estimate,
        /// What it takes before it blocks, L/m²; absent where only a test or the maker tells.
        pub holds: Option<Estimate>,
        /// Area of one piece, m²; absent where the area is the machine's.
        pub piece: Option<Estimate>,
        /// What a piece is called, more than one of them.
        #[serde(default)]
        pub pieces: Text,
        /// True where Vmax of a disc tells what it takes.
        #[serde(default)]
        pub by_vmax: bool,
    }

    /// A stability that a bottle needs, judged by one test with its own limit.
    pub struct StabilityFacts {
        /// Stable key.
        pub key: Text,
        /// Its name.
        pub name: Text,
        /// True where it counts at bottling only if it was looked at, or if nothing else judges its
        /// group.
        #[serde(default)]
        pub optional: bool,
        /// The quantity the test reads.
        pub quantity: W<Quantity>,
        /// Limits; the first that fits the wine is used. A wine that none fits is not judged.
        pub bands: List<NeedBand>,
        /// Error of a reading as a share of it.
        pub error_share: f64,
        /// Error of a reading in its unit, beside that share.
        pub error_plus: f64,
        /// The test, and when to do it.
        pub test: Fact,
        /// Most days between the test and the bottling.
        pub window: Window,
        /// What it does not tell.
        #[serde(default)]
        pub blind: List<Fact>,
        /// Acts after which this test does not judge.
        #[serde(default)]
        pub not_after: List<W<Past>>,
        /// The problem whose loss and treatments answer it.
        pub problem: Option<W<Problem>>,
        /// What may take the place of its limit.
        pub barrier: Option<BarrierRule>,
        /// Tests of one group answer one question; where they disagree it is said.
        pub group: Option<Text>,
        /// Journeys it fits. Where a journey is named, it takes the place of the others of its
        /// group.
        #[serde(default)]
        pub journeys: List<W<Journey>>,
        /// True where no limit that was read makes a verdict: readings are only compared.
        #[serde(default)]
        pub no_verdict: bool,
        /// What a route does where it was measured outside its limit; none where it does nothing
        /// for it.
        pub in_routes: Option<W<RoutePart>>,
        /// What a long life in bottle changes.
        #[serde(default)]
        pub shelf: List<ShelfNote>,
        /// True where it is asked for once its problem is named, though it is optional.
        #[serde(default)]
        pub where_named: bool,
        /// Wishes that take it away.
        #[serde(default)]
        pub lifted_by: List<W<Wish>>,
        /// What asks for it, where nobody may waive it.
        pub binds: Option<W<Binds>>,
        /// The lane that shows it at a glance.
        pub lane: W<LaneKey>,
    }

    /// What holds where a wine is to keep longer than so many months in bottle.
    pub struct ShelfNote {
        /// Months; just so many are not yet longer.
        pub from_months: f64,
        /// Only after these acts; empty for any.
        #[serde(default)]
        pub after: List<W<Past>>,
        /// The note.
        pub note: Fact,
    }

    /// A test that takes longer on a wine with a certain past.
    pub struct Longer {
        /// Acts of which one is in its past.
        pub after: List<W<Past>>,
        /// Days from the sample to the result.
        pub days: Estimate,
    }

    /// What a test costs and takes.
    pub struct TestFacts {
        /// The quantity it reads.
        pub quantity: W<Quantity>,
        /// Price of one, money for the lot.
        pub price: Estimate,
        /// Year of the price.
        pub year: u16,
        /// Days from the sample to the result.
        pub days: Estimate,
        /// Where it takes longer.
        #[serde(default)]
        pub longer: List<Longer>,
        /// Days before bottling that the result is wanted.
        pub before_days: Estimate,
        /// Where it is done.
        pub place: W<Place>,
        /// Sample, mL.
        pub sample_ml: f64,
    }

    /// A cause of what is seen in a wine, or two at once.
    pub struct Cause {
        /// Stable key.
        pub key: Text,
        /// Its name.
        pub name: Text,
        /// The two causes it is made of; empty for a cause of its own.
        #[serde(default)]
        pub of: List<Text>,
        /// How often it is met.
        pub prior: W<Likely>,
        /// The problem whose treatments answer it.
        pub problem: Option<W<Problem>>,
        /// Colours of wine that it may be in; any where none is named. Judgement.
        #[serde(default)]
        pub colours: List<W<Colour>>,
        /// Stages at which it may be; any where none is named. Judgement.
        #[serde(default)]
        pub stages: List<W<Stage>>,
        /// What to do.
        pub act: Fact,
    }

    /// How often a sign goes with one cause.
    pub struct WithCause {
        /// Cause.
        pub cause: Text,
        /// How often.
        pub word: W<Likely>,
    }

    /// Something seen, remembered or tested, to be answered with yes or no.
    pub struct Sign {
        /// Stable key.
        pub key: Text,
        /// The question.
        pub question: Text,
        /// What is seen or smelled at once, in the words of a list to choose from; none where it
        /// takes a test or a memory.
        pub seen: Option<Text>,
        /// Colours of wine in which it can be seen; any where none is named.
        #[serde(default)]
        pub colours: List<W<Colour>>,
        /// Stages at which it tells something; any where none is named.
        #[serde(default)]
        pub stages: List<W<Stage>>,
        /// Where it is found.
        pub place: W<Place>,
        /// Minutes it takes.
        pub minutes: f64,
        /// Signs of one family are ways in which one thing may be: they count once.
        pub family: Text,
        /// How to test, and the source of the rule.
        pub how: Fact,
        /// Keys of cautions.
        #[serde(default)]
        pub cautions: List<Text>,
        /// Causes it goes with.
        pub with: List<WithCause>,
        /// How often it goes with every other cause.
        pub else_word: W<Likely>,
    }

    /// One data file.
    pub struct DataFile {
        /// Works cited.
        #[serde(default)]
        pub source: List<Source>,
        /// Treatments.
        #[serde(default)]
        pub treatment: List<Treatment>,
        /// Rules of the bench.
        #[serde(default)]
        pub bench: List<BenchRule>,
        /// Cautions.
        #[serde(default)]
        pub caution: List<Caution>,
        /// Problems.
        #[serde(default)]
        pub problem: List<ProblemFacts>,
        /// Stabilities.
        #[serde(default)]
        pub stability: List<StabilityFacts>,
        /// Phases of a route.
        #[serde(default)]
        pub phase: List<PhaseFacts>,
        /// Rules that speak for or against an act.
        #[serde(default)]
        pub rule: List<Rule>,
        /// Answers that are no treatment.
        #[serde(default)]
        pub honest: List<HonestRow>,
        /// How much may be left.
        #[serde(default)]
        pub enough: List<Enough>,
        /// What stops germs from growing.
        #[serde(default)]
        pub hurdle: List<HurdleFacts>,
        /// Tests.
        #[serde(default)]
        pub test: List<TestFacts>,
        /// Last days' checks.
        #[serde(default)]
        pub last: List<LastCheck>,
        /// Limits on water.
        #[serde(default)]
        pub water: List<WaterRule>,
        /// Carbon dioxide in a closed bottle, the least first.
        #[serde(default)]
        pub gas: List<GasLevel>,
        /// Costly equipment.
        #[serde(default)]
        pub costly: List<CostlyKit>,
        /// Filters.
        #[serde(default)]
        pub filter: List<FilterFacts>,
        /// Causes.
        #[serde(default)]
        pub cause: List<Cause>,
        /// Signs.
        #[serde(default)]
        pub sign: List<Sign>,
        /// Typical values.
        #[serde(default)]
        pub typical: List<Typical>,
        /// Bodies of law.
        #[serde(default)]
        pub body: List<LawFacts>,
        /// Acceptances.
        #[serde(default)]
        pub acceptance: List<Acceptance>,
        /// Rules of law.
        #[serde(default)]
        pub law: List<LawRule>,
        /// Organic schemes.
        #[serde(default)]
        pub organic: List<OrganicRule>,
        /// Total SO2 limits.
        #[serde(default)]
        pub so2: List<So2Limit>,
    }
}
