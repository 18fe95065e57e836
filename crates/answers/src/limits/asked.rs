//! What limits are asked for, and what they are put beside.

use crate::arguments::whole_number;

asked! {
    /// The drop to expect of sound copper, and published and taught limits beside it.
    #[schema(as = LimitsAsked)]
    pub struct Asked {
        /// The current that really flowed, such as `200 A`.
        #[arg(long)]
        #[schema(required = true)]
        pub current: String,
        /// Length of the conductor, such as `1.2 m`.
        #[arg(long, requires = "size")]
        pub length: Option<String>,
        /// Size of the conductor, such as `35 mm²` or `2 AWG`.
        #[arg(long, requires = "length")]
        pub size: Option<String>,
        /// Number of joints under the meter; two for a conductor when left out.
        #[arg(long, value_parser = whole_number::<u32>)]
        pub joints: Option<u32>,
        /// Kind of the joints.
        #[arg(long, value_name = "KIND", default_value_t = Self::default().joint)]
        pub joint: String = "bolted lug".to_owned(),
        /// Metal of the conductor.
        #[arg(long, default_value_t = Self::default().material)]
        pub material: String = "copper".to_owned(),
        /// Temperature of the conductor.
        #[arg(long, default_value_t = Self::default().ambient)]
        pub ambient: String = "20 °C".to_owned(),
        /// Nominal voltage of the vehicle.
        #[arg(long, default_value_t = Self::default().nominal)]
        pub nominal: String = "12 V".to_owned(),
        /// Only this circuit: `starter`, `charging`, `control`, `running` or `bonding`.
        #[arg(long)]
        pub circuit: Option<String>,
        /// Only this part: `feed`, `return`, `total`, `cable`, `connection`, `switch`, `solenoid` or
        /// `case`.
        #[arg(long)]
        pub part: Option<String>,
    }
}
