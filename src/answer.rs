//! What the answers say, as keys beside their sentences, so that a program need not read English.
//! Each key is set where its
//! sentence is made.

use serde::Serialize;

/// What an answer says. An answer may say several things.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum AnswerKey {
    /// The wine is in bottle: nothing is dosed.
    InBottle,
    /// The cause is to be found by tests.
    FindCause,
    /// No problem was named.
    NothingNamed,
    /// The law and the figures of such a wine were not read.
    NotCovered,
    /// What was measured lies inside its limits: no treatment is called for.
    NoTreatment,
    /// What was measured lies inside its limits; something else that was named is past cure.
    RestInside,
    /// What was measured outside its limit is met by the route too.
    MetToo,
    /// Sugar is left, or was not measured, and none of the barriers at the filler can be used.
    NoBarrier,
    /// It lies below what it should keep: nothing more may be taken out.
    TakeNoMore,
    /// What decides was typed and cannot be read: it is to be mended first.
    MendFirst,
    /// What decides was not measured: it is to be measured first.
    MeasureFirst,
    /// What decides was measured before the last change, or too near its limit: it is to be
    /// measured again first.
    MeasureAgain,
    /// Some other test is worth most.
    MeasureNext,
    /// Nothing more is worth the price of its test.
    NotWorthMeasuring,
    /// Nothing that is judged is left to measure.
    NothingToMeasure,
    /// A treatment is named to begin with, or a way.
    Begin,
    /// A rule puts what is named before the others.
    PutFirst,
    /// A bench trial comes before it.
    BenchTrial,
    /// The figures do not tell those that are named apart.
    NotToldApart,
    /// What can be used only helps a little.
    OnlyHelps,
    /// The wine is left to clear by itself and racked.
    WaitAndRack,
    /// What keeps it from coming again next year.
    Prevent,
    /// It is declassified, or sold and drunk early.
    Declassify,
    /// What is left may be lived with, as long as what holds it back holds.
    LiveWith,
    /// Two texts say opposite things of an act.
    ExpertsDiffer,
    /// Nothing cures it.
    NothingCures,
    /// Nothing that is known fits the wine, its markets and its claims.
    NothingFits,
    /// A laboratory is the next step, or may be.
    Laboratory,
    /// The law is to be confirmed first.
    ConfirmLaw,
    /// No market is named, so no law was checked.
    NoLawChecked,
    /// The latest day to begin is named.
    BeginBy,
    /// It takes costly equipment that was not said to be had and may be hired.
    Hire,
    /// The other ways take costly equipment that may be hired.
    OthersHire,
    /// The other ways are each better at something else.
    OthersBetter,
    /// Another way costs less money, and why it is not the first.
    CheaperOther,
    /// The other ways need the law confirmed first.
    OthersUnsure,
    /// It is too late for the bottling day.
    TooLate,
    /// The bottling day has passed.
    DayPassed,
    /// No route is known.
    NoRoute,
    /// The stage of the wine closes what would meet its needs.
    StageCloses,
    /// The days to the bottling are too few to meet all needs.
    DaysTooFew,
    /// A route is named that does not meet all needs in enough draws.
    FallsShort,
    /// Fewer problems are to be named at a time.
    NameFewer,
}

/// What is said where no market was named.
pub const NO_MARKET: &str = " No market is named, so no law was checked.";
