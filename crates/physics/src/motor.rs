//! Direct-current motors: voltage, speed and torque, and a starter turning a mechanical load.

use units::{Amperes, NewtonMetres, Ohms, Ratio, Volts};

use crate::error::{PhysicsError, above, within};
use crate::quantity::{NewtonMetreSeconds, RadiansPerSecond, VoltSeconds};

/// What makes the magnetic field of a motor; given as back-voltage for each unit of speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Field {
    /// Magnets: the same field whatever the current.
    PermanentMagnet(VoltSeconds),
    /// The armature's own current, saturating: `kΦ = kΦ∞ · I / (I + I_half)` (Fröhlich's form).
    Series {
        /// The field at very high current.
        saturated: VoltSeconds,
        /// The current at which half of it is there.
        half: Amperes,
    },
}

impl Field {
    /// A series field through two known points, by current and field.
    ///
    /// # Errors
    ///
    /// [`PhysicsError`] unless current and field of the second point lie above those of the first,
    /// all above zero, and the field grows less than in proportion to current.
    pub fn series_through(
        low: (Amperes, VoltSeconds),
        high: (Amperes, VoltSeconds),
    ) -> Result<Self, PhysicsError> {
        let i1 = above("a current", 0.0, low.0.0, Amperes::SYMBOL)?;
        let i2 = above("a higher current", i1, high.0.0, Amperes::SYMBOL)?;
        let k1 = above("a field", 0.0, low.1.0, VoltSeconds::SYMBOL)?;
        let k2 = above("a higher field", k1, high.1.0, VoltSeconds::SYMBOL)?;
        above("a proportional field", k2, k1 * i2 / i1, VoltSeconds::SYMBOL)?;
        // 1/kΦ is a straight line in 1/I.
        let slope = (1.0 / k1 - 1.0 / k2) / (1.0 / i1 - 1.0 / i2);
        let intercept = 1.0 / k2 - slope / i2;
        Ok(Self::Series {
            saturated: VoltSeconds(1.0 / intercept),
            half: Amperes(slope / intercept),
        })
    }

    /// Back-voltage for each unit of speed, and torque for each ampere, at a current.
    #[must_use]
    pub fn at(&self, current: Amperes) -> VoltSeconds {
        match *self {
            Self::PermanentMagnet(field) => field,
            Self::Series { saturated, half } => {
                let current = current.abs();
                VoltSeconds(saturated.0 * (current / (current + half)))
            }
        }
    }
}

/// A motor, its gear included if speed and torque are meant behind it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motor {
    /// Armature, series winding and leads.
    pub resistance: Ohms,
    /// Voltage lost at the brushes whatever the current (0.6–2 V at 12 V).
    pub brush_drop: Volts,
    /// The magnetic field.
    pub field: Field,
    /// Torque lost inside.
    pub friction: NewtonMetres,
}

/// A load whose torque grows with speed: c₀ + c₁ ω.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MechanicalLoad {
    /// Torque at no speed.
    pub standing: NewtonMetres,
    /// Torque for each unit of speed.
    pub viscous: NewtonMetreSeconds,
}

/// A motor at work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turning {
    /// Current it draws.
    pub current: Amperes,
    /// Speed; zero when stalled.
    pub speed: RadiansPerSecond,
}

/// Field from a run without load: `kΦ = (V − V_b − R I) / ω`.
///
/// # Errors
///
/// [`PhysicsError`] unless the speed lies above zero.
pub fn field_from_free_run(
    voltage: Volts,
    brush_drop: Volts,
    resistance: Ohms,
    current: Amperes,
    speed: RadiansPerSecond,
) -> Result<VoltSeconds, PhysicsError> {
    let speed = above("a speed", 0.0, speed.0, RadiansPerSecond::SYMBOL)?;
    Ok(VoltSeconds((voltage - brush_drop - resistance * current).0 / speed))
}

/// Field from the torque of a stalled motor: kΦ = (T + T₀) / I.
///
/// # Errors
///
/// [`PhysicsError`] unless the current lies above zero.
pub fn field_from_stall(
    torque: NewtonMetres,
    friction: NewtonMetres,
    current: Amperes,
) -> Result<VoltSeconds, PhysicsError> {
    let current = above("a current", 0.0, current.0, Amperes::SYMBOL)?;
    Ok(VoltSeconds((torque + friction).0 / current))
}

impl Motor {
    /// Torque at the shaft, T = kΦ I − T₀; below zero it would need driving.
    #[must_use]
    pub fn torque(&self, current: Amperes) -> NewtonMetres {
        NewtonMetres(self.field.at(current).0 * current.0) - self.friction
    }

    /// Voltage that drives a current through the motor at a speed, `V = V_b + R I + kΦ ω`.
    #[must_use]
    pub fn voltage(&self, current: Amperes, speed: RadiansPerSecond) -> Volts {
        self.brush_drop + self.resistance * current + Volts(self.field.at(current).0 * speed.0)
    }

    /// Current of the stalled motor; zero below the brush drop.
    ///
    /// # Errors
    ///
    /// [`PhysicsError`] unless the resistance lies above zero.
    pub fn stall_current(&self, voltage: Volts) -> Result<Amperes, PhysicsError> {
        above("a motor resistance", 0.0, self.resistance.0, Ohms::SYMBOL)?;
        Ok(((voltage - self.brush_drop) / self.resistance).max(Amperes::ZERO))
    }

    /// Current and speed at a voltage, against a load.
    ///
    /// ```text
    /// I = [c₁ (V − V_b) + kΦ (c₀ + T₀)] / (c₁ R + kΦ²)      magnets: affine in V
    /// ```
    ///
    /// and never more than the stall current `(V − V_b) / R`. A series field is solved for.
    ///
    /// # Errors
    ///
    /// [`PhysicsError`] unless resistance and field lie above zero and the load is not negative.
    ///
    /// # Source
    ///
    /// Follows from `V = V_b + R I + kΦ ω` and `kΦ I = c₀ + c₁ ω + T₀`.
    pub fn turning(&self, voltage: Volts, load: MechanicalLoad) -> Result<Turning, PhysicsError> {
        let stall = self.stall_current(voltage)?;
        let resisting = load.standing + self.friction;
        within("a standing torque", 0.0, f64::MAX, resisting.0, NewtonMetres::SYMBOL)?;
        let c1 = load.viscous.0;
        within("a viscous torque", 0.0, f64::MAX, c1, NewtonMetreSeconds::SYMBOL)?;
        let (strongest, exact) = match self.field {
            Field::PermanentMagnet(field) => (field, true),
            Field::Series { saturated, half } => {
                above("a current of half field", 0.0, half.0, Amperes::SYMBOL)?;
                (saturated, false)
            }
        };
        above("a field", 0.0, strongest.0, VoltSeconds::SYMBOL)?;
        let available = (voltage - self.brush_drop).0;
        if self.field.at(stall).0 * stall.0 <= resisting.0 {
            return Ok(Turning { current: stall, speed: RadiansPerSecond(0.0) });
        }
        let current = if exact {
            let k = strongest.0;
            (c1 * available + k * resisting.0) / (c1 * self.resistance.0 + k * k)
        } else {
            // Spare torque, times the field to stay finite at no current, rises with current.
            let spare = |current: f64| {
                let k = self.field.at(Amperes(current)).0;
                let back = available - self.resistance.0 * current;
                k * (k * current - resisting.0) - c1 * back
            };
            let (mut low, mut high) = (0.0, stall.0);
            for _ in 0..80 {
                let middle = 0.5 * (low + high);
                if spare(middle) < 0.0 { low = middle } else { high = middle }
            }
            0.5 * (low + high)
        };
        let field = self.field.at(Amperes(current)).0;
        let speed = ((available - self.resistance.0 * current) / field).max(0.0);
        Ok(Turning { current: Amperes(current), speed: RadiansPerSecond(speed) })
    }

    /// Share of the electric power that leaves at the shaft.
    ///
    /// # Errors
    ///
    /// [`PhysicsError`] unless voltage and current lie above zero.
    pub fn efficiency(&self, voltage: Volts, turning: Turning) -> Result<Ratio, PhysicsError> {
        let taken = (voltage * turning.current).0;
        let taken = above("an electric power", 0.0, taken, "W")?;
        Ok(Ratio(self.torque(turning.current).0 * turning.speed.0 / taken))
    }
}

#[cfg(test)]
mod tests;
