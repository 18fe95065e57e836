//! Tests of the laws of motors.

use super::*;
use crate::close::{assert_close, assert_near};

/// The 24 V series motor of TM 5-5065 para 198f: 30 A at 6000 min⁻¹; stalled 200 A, 6.6 V, 21 lbf·ft.
fn series() -> Motor {
    let resistance = Volts(6.6) / Amperes(200.0);
    let (free, stalled) = (Amperes(30.0), Amperes(200.0));
    let speed = RadiansPerSecond::from_rpm(6000.0);
    let running = field_from_free_run(Volts(24.0), Volts::ZERO, resistance, free, speed).unwrap();
    let torque = NewtonMetres(21.0 * 1.355_818);
    let standing = field_from_stall(torque, NewtonMetres::ZERO, stalled).unwrap();
    let field = Field::series_through((free, running), (stalled, standing)).unwrap();
    Motor { resistance, brush_drop: Volts::ZERO, field, friction: NewtonMetres::ZERO }
}

fn magnets(friction: f64) -> Motor {
    Motor {
        resistance: Ohms(0.012),
        brush_drop: Volts(1.0),
        field: Field::PermanentMagnet(VoltSeconds(0.02)),
        friction: NewtonMetres(friction),
    }
}

mod published {
    use super::*;

    /// TM 5-5065 para 198f, worked through: 33 mΩ, 0.0366 V·s at 30 A, 0.142 N·m/A at 200 A.
    #[test]
    fn the_series_starter_of_tm_5_5065_has_33_milliohms_and_a_fourfold_field() {
        let motor = series();
        assert_close(motor.resistance.0, 0.033, 0.005);
        assert_close(motor.field.at(Amperes(30.0)).0, 0.0366, 0.005);
        assert_close(motor.field.at(Amperes(200.0)).0, 0.1424, 0.005);
        assert_close(motor.torque(Amperes(200.0)).0, 28.47, 0.005);
        let speed = RadiansPerSecond::from_rpm(6000.0);
        assert_close(motor.voltage(Amperes(30.0), speed).0, 24.0, 1e-6);
    }
}

mod laws {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn voltage_and_torque_balance_while_turning(
            volts in 4.0..30.0, c0 in 0.0..3.0, c1 in 0.0..0.02, wound in proptest::bool::ANY,
        ) {
            let motor = if wound { series() } else { magnets(0.2) };
            let load = MechanicalLoad {
                standing: NewtonMetres(c0 + 0.1),
                viscous: NewtonMetreSeconds(c1),
            };
            let turning = motor.turning(Volts(volts), load).unwrap();
            if turning.speed.0 > 0.0 {
                let torque = motor.torque(turning.current).0;
                assert_near(torque, c0 + 0.1 + c1 * turning.speed.0, 1e-6);
                assert_close(motor.voltage(turning.current, turning.speed).0, volts, 1e-9);
                let efficiency = motor.efficiency(Volts(volts), turning).unwrap();
                prop_assert!(0.0 < efficiency.0 && efficiency.0 < 1.0);
            }
            let stall = motor.stall_current(Volts(volts)).unwrap();
            prop_assert!(turning.current <= stall);
        }

        #[test]
        fn a_magnet_motor_draws_a_current_affine_in_voltage(volts in 6.0..12.0) {
            let load = MechanicalLoad {
                standing: NewtonMetres(1.0),
                viscous: NewtonMetreSeconds(0.005),
            };
            let at = |volts| magnets(0.2).turning(Volts(volts), load).unwrap().current.0;
            assert_near(at(volts + 1.0) - at(volts), at(14.0) - at(13.0), 1e-9);
        }

        #[test]
        fn more_load_takes_more_current_and_turns_slower(c0 in 0.1..2.0) {
            for motor in [series(), magnets(0.0)] {
                let at = |standing| {
                    let viscous = NewtonMetreSeconds(0.002);
                    let load = MechanicalLoad { standing: NewtonMetres(standing), viscous };
                    motor.turning(Volts(12.0), load).unwrap()
                };
                prop_assert!(at(c0).current < at(c0 + 0.1).current);
                prop_assert!(at(c0).speed > at(c0 + 0.1).speed);
            }
        }
    }

    #[test]
    fn a_load_too_heavy_stalls_the_motor_at_its_stall_current() {
        let load =
            MechanicalLoad { standing: NewtonMetres(100.0), viscous: NewtonMetreSeconds(0.1) };
        let stalled = magnets(0.0).turning(Volts(7.0), load).unwrap();
        assert_close(stalled.current.0, 500.0, 1e-9);
        assert_near(stalled.speed.0, 0.0, 0.0);
        let dead = magnets(0.0).turning(Volts(0.5), load).unwrap();
        assert_near(dead.current.0, 0.0, 0.0);
    }
}

mod refusals {
    use super::*;

    #[test]
    fn a_field_that_grows_faster_than_its_current_is_refused() {
        let (low, high) = ((Amperes(10.0), VoltSeconds(0.01)), (Amperes(20.0), VoltSeconds(0.03)));
        assert!(Field::series_through(low, high).is_err());
    }
}
