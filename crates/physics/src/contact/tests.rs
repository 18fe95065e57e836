//! Tests of the laws of contact.

use super::*;
use crate::close::assert_close;

const COPPER: OhmMetres = OhmMetres(1.72e-8);
const ROOM: Kelvin = Kelvin(293.0);

mod published {
    use super::*;

    /// Holm: ρ / 2a; a copper spot of 10 µm and, of 0.5 mm, the same law at 1.724e-8 Ω·m.
    #[test]
    fn one_copper_spot_of_10_micrometres_has_0_860_milliohms() {
        let ohms = spot_resistance(COPPER, COPPER, Metres(10e-6)).unwrap();
        assert_close(ohms.0, 0.860e-3, 1e-9);
        let iacs = OhmMetres(1.7241e-8);
        assert_close(spot_resistance(iacs, iacs, Metres(0.5e-3)).unwrap().0, 17.24e-6, 1e-3);
    }

    /// Electrical Contacts: Principles and Applications, pp. 13–15: R = (ρ/2)·√(πH/F).
    #[test]
    fn clean_copper_under_100_newtons_has_35_7_microohms() {
        let of = |force| {
            let radius = spot_radius(Newtons(force), Pascals(5.5e8)).unwrap();
            (radius, spot_resistance(COPPER, COPPER, radius).unwrap())
        };
        let (radius, ohms) = of(100.0);
        let whole = clean_resistance(COPPER, COPPER, Pascals(5.5e8), Newtons(100.0)).unwrap();
        assert_close(whole.0, ohms.0, 1e-12);
        assert_close(radius.0, 241e-6, 0.003);
        assert_close(ohms.0, 35.7e-6, 0.002);
        assert_close(of(10_000.0).1.0, 3.57e-6, 0.002);
        // Contact data book: 9000 · 0.0172 · √(550 / 10 000 cN) µΩ, in units read from its size.
        assert_close(9000.0 * 0.0172 * (550.0_f64 / 10_000.0).sqrt() * 1e-6, ohms.0, 0.02);
    }

    /// Arithmetic of the law: 0.12 V, 10 mV and 30 mV from 293 K.
    #[test]
    fn twelve_hundredths_of_a_volt_heat_a_contact_to_483_kelvin() {
        let rise = |volts| hottest_temperature(Volts(volts), ROOM).unwrap() - ROOM;
        assert_close(rise(0.12).0 + ROOM.0, 483.0, 0.005);
        assert_close(rise(0.010).0, 1.7, 0.03);
        assert_close(rise(0.030).0, 15.5, 0.03);
    }
}
