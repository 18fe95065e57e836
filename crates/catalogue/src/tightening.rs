//! What torque does: nut factors, scatter by method, torques given for connections.

use units::{NewtonMetres, Ratio};

use crate::read::table;

table! {
    /// The nut factor K of a finish, in torque = K · diameter · preload.
    NutFactor "nut-factors"
        "Nut factor K by finish, in torque = K · diameter · preload; sources disagree"
        "finish";
    /// The value to use.
    pub typical: Ratio = RATIO => "K";
    /// The lowest of the range, where one is given.
    pub low: Option<Ratio> = RATIO => "from";
    /// The highest of the range, where one is given.
    pub high: Option<Ratio> = RATIO => "to";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

table! {
    /// How far the preload of one joint may lie from the mean, by the way it was tightened.
    TighteningScatter "tightening-scatter"
        "Scatter of preload, up and down, by method of tightening"
        "method";
    /// The smallest scatter given, up and down from the mean.
    pub least: Ratio = PERCENT "least_percent" => "from, ± %";
    /// The largest scatter given, up and down from the mean.
    pub most: Ratio = PERCENT "most_percent" => "to, ± %";
}

table! {
    /// A torque given for an electrical connection; the maker's figure overrides it.
    ConnectionTorque "connection-torques"
        "Torques given for battery terminals, lugs and bus bars; the maker's figure overrides them"
        "key";
    /// What is tightened.
    pub connection: String = PLAIN => "connection";
    /// Thread, a key of the threads, where it is one.
    pub thread: Option<String> = MAY_LACK;
    /// Lowest torque given.
    pub low: NewtonMetres = NEWTON_METRES "low_nm" => "from, N·m";
    /// Highest torque given.
    pub high: NewtonMetres = NEWTON_METRES "high_nm" => "to, N·m";
}
