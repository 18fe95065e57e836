//! Words about failures for answers that are still written here.

pub(crate) mod words {
    use model::Vehicle;
    use units::UnitSystem;

    /// `main-negative opens`, `main-negative.to wears to 100 times its resistance`.
    pub(crate) fn fault(vehicle: &Vehicle, fault: failures::Fault) -> String {
        // Nothing in it depends on the person's units.
        answers::told::written(
            &answers::failures::words::fault(vehicle, fault),
            UnitSystem::default(),
        )
    }
}
