//! The minus that people leave out: which way round the leads stood.

use model::{Measured, Reading, Told as Value};

use super::plain;
use super::story::{Outcome, Story};
use crate::told::measuring;

impl Story<'_> {
    /// The reading with its probes changed, or its clamp turned, when people who leave out the sign can
    /// only mean that: a sound vehicle would show the value below zero.
    pub(super) fn turned(&self, reading: &Reading) -> Option<Reading> {
        let above = match reading.told {
            Value::Value(value)
            | Value::About(value)
            | Value::Held(value)
            | Value::AtLeast(value) => value > 0.0,
            Value::Between(low, high) => low >= 0.0 && high > 0.0,
            Value::Nothing | Value::Gauge(_) | Value::Change(_) => false,
        };
        let sound = self.session.sound_shows(reading.state?, reading.measured)?;
        if reading.signed || !above || sound > -0.001 {
            return None;
        }
        match reading.measured {
            Measured::Volts { high, low } => {
                let measured = Measured::Volts { high: low, low: high };
                Some(Reading { measured, signed: true, ..reading.clone() })
            }
            Measured::Amps { .. } => {
                Some(Reading { told: reading.told.turned(), signed: true, ..reading.clone() })
            }
            _ => None,
        }
    }

    /// What a sound vehicle shows, the leads as they were told of a reading that was turned.
    pub(super) fn sound_as_told(&self, reading: &Reading) -> Option<String> {
        let sound = self.session.sound_shows(reading.state?, reading.measured)?;
        // The leads stood the other way round.
        let volts = matches!(reading.measured, Measured::Volts { .. });
        let sound = measuring::value(reading.measured, if volts { -sound } else { sound });
        Some(plain(&sound.into()))
    }

    /// Takes the last line as it was told: the meter showed no minus.
    pub(super) fn without_a_minus(&mut self) {
        if let Some(own) = self.told.last_mut().filter(|own| own.turned)
            && let Outcome::Reading(reading) = &mut own.outcome
        {
            match reading.measured {
                Measured::Volts { high, low } => {
                    reading.measured = Measured::Volts { high: low, low: high };
                }
                _ => reading.told = reading.told.turned(),
            }
            own.turned = false;
            let reading = reading.clone();
            let read = self.line_of(&reading);
            if let Some(own) = self.told.last_mut() {
                own.read = read;
            }
        }
    }

    /// A reading as a line that reads the same, its sign told.
    pub(super) fn line_of(&self, reading: &Reading) -> String {
        measuring::line(self.vehicle, reading)
    }
}
