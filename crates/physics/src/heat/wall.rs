//! A conductor that lies along metal: what the metal takes of its heat.

use std::f64::consts::PI;

use units::{Metres, Ratio};

use crate::error::{PhysicsError, above};

/// Part of a conductor's face that still looks into the room when it lies along metal.
pub(super) const OPEN_FACE: f64 = 0.5;

/// Conducted heat of each metre and kelvin, over the conductivity of what fills the gap: of a round
/// conductor beside a plane, both of one temperature each.
///
/// ```text
/// S = 2π / arccosh(1 + 2 g / D)
/// ```
///
/// # Arguments
///
/// | name | unit | valid | meaning |
/// |---|---|---|---|
/// | `diameter` | m | > 0 | over the insulation |
/// | `gap` | m | > 0 | between face and metal, the mean along the conductor |
///
/// # Errors
///
/// [`PhysicsError`] when an argument lies outside the `valid` column.
///
/// # Source
///
/// Conduction shape factor of a cylinder beside a plane, as in heat-transfer handbooks (from memory:
/// Incropera and `DeWitt`, table 4.1). The same potential is that of a wire over a ground plane.
pub fn shape_factor(diameter: Metres, gap: Metres) -> Result<Ratio, PhysicsError> {
    let diameter = above("a diameter", 0.0, diameter.0, Metres::SYMBOL)?;
    let gap = above("a gap", 0.0, gap.0, Metres::SYMBOL)?;
    Ok(Ratio(2.0 * PI / (1.0 + 2.0 * gap / diameter).acosh()))
}

#[cfg(test)]
mod published {
    use super::*;
    use crate::close::assert_close;
    use crate::heat::steady::cables::cable;
    use crate::heat::{Surroundings, steady_current};
    use units::Kelvin;

    /// A thin wire over a ground plane has a characteristic impedance of 138 log₁₀(4 h / d) ohms, h to its
    /// middle (radio handbooks), which is that of free space, 376.73 Ω, over the shape factor.
    #[test]
    fn a_wire_over_a_plane_has_the_impedance_of_radio_handbooks() {
        for ratio in [10.0_f64, 30.0, 200.0] {
            let gap = Metres(ratio - 0.5);
            let impedance = 376.73 / shape_factor(Metres(1.0), gap).unwrap().0;
            assert_close(impedance, 138.0 * (4.0 * ratio).log10(), 2e-3);
        }
    }

    /// BS 7671 table 4D1A, two single cores clipped to a wall, 70 °C in 30 °C (a copy): a wall of
    /// plaster takes little, and each warms the other. One alone on metal bears more, and not half as
    /// much again.
    #[test]
    fn one_core_on_metal_bears_more_than_two_that_bs_7671_clips_to_a_wall() {
        let metal = Surroundings {
            metal_gap: Some(Metres(1e-3)),
            ..Surroundings::alone(Kelvin::from_celsius(30.0))
        };
        for (mm2, ohms_per_km, outer, printed) in
            [(1.5, 12.1, 2.9, 20.0), (4.0, 4.61, 3.9, 37.0), (10.0, 1.83, 6.0, 65.0)]
        {
            let own = cable(mm2, ohms_per_km, outer);
            let bears = steady_current(&own, Kelvin::from_celsius(70.0), &metal).unwrap().0;
            assert!((1.0..1.5).contains(&(bears / printed)), "{mm2} mm²: {bears}");
        }
    }
}

#[cfg(test)]
mod laws {
    use super::*;
    use crate::heat::steady::cables::cable;
    use crate::heat::{Surroundings, steady_current};
    use proptest::prelude::*;
    use units::Kelvin;

    proptest! {
        /// A conductor that touches loses ever more; one far away loses what a layer of air conducts.
        #[test]
        fn the_nearer_the_metal_the_more_it_takes(mm in 0.5..30.0, gap in 0.01..20.0, more in 1.01..3.0) {
            let diameter = Metres::from_mm(mm);
            let near = shape_factor(diameter, Metres::from_mm(gap)).unwrap();
            let far = shape_factor(diameter, Metres::from_mm(gap * more)).unwrap();
            prop_assert!(far < near);
        }

        /// It takes more from a thin cable than half of the face would lose; of a thick one about as much.
        #[test]
        fn metal_a_millimetre_away_helps_thin_cables_and_hardly_hinders_thick_ones(mm2 in 0.35..120.0, air in -30.0..90.0) {
            let cable = cable(mm2, 19.0 / mm2, 1.6 * mm2.sqrt() + 0.8);
            let room = Surroundings::alone(Kelvin::from_celsius(air));
            let hot = Kelvin::from_celsius(105.0);
            let free = steady_current(&cable, hot, &room).unwrap();
            let metal = steady_current(&cable, hot, &Surroundings { metal_gap: Some(Metres(1e-3)), ..room }).unwrap();
            let least = if mm2 < 16.0 { 1.0 } else { 0.94 };
            prop_assert!(least < metal / free && metal / free < 1.4, "{}", metal / free);
        }
    }

    #[test]
    fn without_a_gap_no_shape_factor_is_given() {
        assert!(shape_factor(Metres(0.01), Metres(0.0)).is_err());
    }
}
