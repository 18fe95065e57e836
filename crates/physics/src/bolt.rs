//! Threaded fasteners: torque to clamp force and back, friction, scatter, preload and proof.

use std::f64::consts::PI;

use units::{Metres, NewtonMetres, Newtons, Pascals, Ratio, SquareMetres};

use crate::error::{PhysicsError, above, within};

/// Geometry of a 60° thread, metric or unified.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thread {
    diameter: Metres,
    pitch: Metres,
}

impl Thread {
    /// A thread by its nominal diameter and pitch.
    ///
    /// # Errors
    ///
    /// [`PhysicsError`] unless the pitch lies above zero and the diameter above twice the pitch.
    pub fn new(diameter: Metres, pitch: Metres) -> Result<Self, PhysicsError> {
        let pitch_m = above("a thread pitch", 0.0, pitch.0, Metres::SYMBOL)?;
        above("a thread diameter", 2.0 * pitch_m, diameter.0, Metres::SYMBOL)?;
        Ok(Self { diameter, pitch })
    }

    /// Nominal diameter d.
    #[must_use]
    pub fn diameter(&self) -> Metres {
        self.diameter
    }

    /// Axial distance from thread to thread.
    #[must_use]
    pub fn pitch(&self) -> Metres {
        self.pitch
    }

    /// Pitch diameter d₂ = d − 0.649519 P (ISO 724).
    #[must_use]
    pub fn pitch_diameter(&self) -> Metres {
        self.diameter - 0.649_519 * self.pitch
    }
}

/// Clamp force that a torque gives.
///
/// ```text
/// F = T / (K · d)
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless K and d lie above zero and the torque is not negative.
///
/// # Source
///
/// NASA TM-106943 (1995) eq. 1.
///
/// # Example
///
/// ```
/// # use physics::bolt::clamp_force;
/// # use units::{Metres, NewtonMetres, Ratio};
/// let force = clamp_force(NewtonMetres(20.0), Ratio(0.20), Metres::from_mm(8.0))?;
/// assert!((force.0 - 12_500.0).abs() < 1e-9);
/// # Ok::<(), physics::PhysicsError>(())
/// ```
pub fn clamp_force(
    torque: NewtonMetres,
    nut_factor: Ratio,
    diameter: Metres,
) -> Result<Newtons, PhysicsError> {
    let torque = within("a torque", 0.0, f64::MAX, torque.0, NewtonMetres::SYMBOL)?;
    let k = above("a nut factor", 0.0, nut_factor.0, Ratio::SYMBOL)?;
    let d = above("a thread diameter", 0.0, diameter.0, Metres::SYMBOL)?;
    Ok(Newtons(torque / (k * d)))
}

/// Torque that gives a clamp force: T = K d F; see [`clamp_force`].
#[must_use]
pub fn tightening_torque(clamp: Newtons, nut_factor: Ratio, diameter: Metres) -> NewtonMetres {
    NewtonMetres(nut_factor.0 * diameter.0 * clamp.0)
}

/// The clamp forces one torque may give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClampRange {
    /// After the most friction and the settling of the faces.
    pub low: Newtons,
    /// By the nut factor alone.
    pub nominal: Newtons,
    /// After the least friction.
    pub high: Newtons,
}

/// Spread of clamp force under one torque.
///
/// ```text
/// F_max = (1 + u) T / (K d),   F_min = (1 − u) / (1 + e) · T / (K d)
/// ```
///
/// `scatter` u is that of the tightening method; `relaxation` e is the loss by embedment, usually
/// 0.05.
///
/// # Errors
///
/// [`PhysicsError`] as [`clamp_force`], and unless both shares lie from zero to one.
///
/// # Source
///
/// NASA TM-106943 (1995) eq. 11–16.
pub fn clamp_range(
    torque: NewtonMetres,
    nut_factor: Ratio,
    diameter: Metres,
    scatter: Ratio,
    relaxation: Ratio,
) -> Result<ClampRange, PhysicsError> {
    let nominal = clamp_force(torque, nut_factor, diameter)?;
    let u = within("a scatter of preload", 0.0, 1.0, scatter.0, Ratio::SYMBOL)?;
    let e = within("a loss by embedment", 0.0, 1.0, relaxation.0, Ratio::SYMBOL)?;
    Ok(ClampRange { low: nominal * ((1.0 - u) / (1.0 + e)), nominal, high: nominal * (1.0 + u) })
}

/// Nut factor from friction in thread (`thread_friction`) and under the head (`head_friction`).
///
/// ```text
/// K = d₂/2d · (tan ψ + μ sec 30°) / (1 − μ tan ψ sec 30°) + 0.625 μ_c,   tan ψ = P / π d₂
/// ```
///
/// Takes the mean bearing diameter under the head as 1.25 d.
///
/// # Errors
///
/// [`PhysicsError`] unless both coefficients lie from zero to one.
///
/// # Source
///
/// NASA TM-106943 (1995) eq. 2, after NASA RP-1228.
pub fn nut_factor(
    thread: &Thread,
    thread_friction: Ratio,
    head_friction: Ratio,
) -> Result<Ratio, PhysicsError> {
    let friction = coefficient_of_friction(thread_friction)?;
    let head = coefficient_of_friction(head_friction)?;
    let d2 = thread.pitch_diameter();
    let lead = thread.pitch.0 / (PI * d2.0);
    let wedged = friction * 2.0 / 3.0_f64.sqrt();
    let in_thread = d2 / (2.0 * thread.diameter) * (lead + wedged) / (1.0 - wedged * lead);
    Ok(Ratio(in_thread + 0.625 * head))
}

/// What a tightening torque is spent on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorqueShares {
    /// On stretching the bolt, by the slope of its thread.
    pub pitch: NewtonMetres,
    /// On friction in the thread.
    pub thread: NewtonMetres,
    /// On friction under the head or nut.
    pub head: NewtonMetres,
}

impl TorqueShares {
    /// The whole torque.
    #[must_use]
    pub fn total(&self) -> NewtonMetres {
        self.pitch + self.thread + self.head
    }
}

/// Torque for a clamp force, by its three parts.
///
/// ```text
/// T = F · [P/2π + 0.577 d₂ μ_th + D_b/2 · μ_b]
/// ```
///
/// `bearing` is the mean diameter of the face under head or nut, `(d_w + d_h) / 2`.
///
/// # Errors
///
/// [`PhysicsError`] unless both coefficients lie from zero to one and `bearing` above zero.
///
/// # Source
///
/// VDI 2230 / ISO 16047, from memory; agrees with the VDI 2230 fine-thread table.
pub fn torque_shares(
    clamp: Newtons,
    thread: &Thread,
    thread_friction: Ratio,
    head_friction: Ratio,
    bearing: Metres,
) -> Result<TorqueShares, PhysicsError> {
    let friction = coefficient_of_friction(thread_friction)?;
    let head = coefficient_of_friction(head_friction)?;
    above("a bearing diameter", 0.0, bearing.0, Metres::SYMBOL)?;
    Ok(TorqueShares {
        pitch: clamp * (thread.pitch * (0.5 / PI)),
        thread: clamp * (thread.pitch_diameter() * (friction / 3.0_f64.sqrt())),
        head: clamp * (bearing * (0.5 * head)),
    })
}

/// Friction, the same in thread and under the head, that a measured torque and clamp force mean.
///
/// ```text
/// μ = (T/F − P/2π) / (0.577 d₂ + 0.5 D_b)
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless clamp force and bearing diameter lie above zero and the torque is not
/// below what the slope of the thread alone asks for.
///
/// # Source
///
/// ISO 16047, from memory.
pub fn friction_of_test(
    torque: NewtonMetres,
    clamp: Newtons,
    thread: &Thread,
    bearing: Metres,
) -> Result<Ratio, PhysicsError> {
    let force = above("a clamp force", 0.0, clamp.0, Newtons::SYMBOL)?;
    let bearing = above("a bearing diameter", 0.0, bearing.0, Metres::SYMBOL)?;
    let slope = thread.pitch.0 / (2.0 * PI);
    let torque = within("a torque", force * slope, f64::MAX, torque.0, NewtonMetres::SYMBOL)?;
    let arm = thread.pitch_diameter().0 / 3.0_f64.sqrt() + 0.5 * bearing;
    Ok(Ratio((torque / force - slope) / arm))
}

/// Share of its proof load that a bolt carries: `F / (S_p · A_s)`.
///
/// # Errors
///
/// [`PhysicsError`] unless stress area and proof stress lie above zero.
pub fn proof_share(
    clamp: Newtons,
    stress_area: SquareMetres,
    proof_stress: Pascals,
) -> Result<Ratio, PhysicsError> {
    above("a stress area", 0.0, stress_area.0, SquareMetres::SYMBOL)?;
    above("a proof stress", 0.0, proof_stress.0, Pascals::SYMBOL)?;
    Ok(Ratio(clamp / (proof_stress * stress_area)))
}

/// Pressure of a clamp force on a ring, such as the face under a head, a washer or a lug.
///
/// ```text
/// p = F / (π/4 · (D² − d²))
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless the force is not negative and the outer diameter above that of the hole.
pub fn ring_pressure(clamp: Newtons, outer: Metres, hole: Metres) -> Result<Pascals, PhysicsError> {
    let force = within("a clamp force", 0.0, f64::MAX, clamp.0, Newtons::SYMBOL)?;
    let hole = within("a hole", 0.0, f64::MAX, hole.0, Metres::SYMBOL)?;
    let outer = above("an outer diameter", hole, outer.0, Metres::SYMBOL)?;
    Ok(Pascals(force / (PI / 4.0 * (outer * outer - hole * hole))))
}

/// Passes a coefficient of friction from zero to one.
fn coefficient_of_friction(friction: Ratio) -> Result<f64, PhysicsError> {
    within("a coefficient of friction", 0.0, 1.0, friction.0, Ratio::SYMBOL)
}

#[cfg(test)]
mod tests;
