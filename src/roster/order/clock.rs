//! Hours of spreaders and of trucks as the work goes on.

/// What one visit takes, in hours.
#[derive(Clone, Copy, Debug)]
pub(super) struct Task {
    /// On the road from the field before it.
    pub(super) moving: f64,
    /// When it may begin, where its job states a day.
    pub(super) not_before: f64,
    /// Of one spreader.
    pub(super) spreading: f64,
    /// Of one truck.
    pub(super) hauling: f64,
}

/// When a visit begins, and what it waits for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Done {
    pub(super) begins: f64,
    /// Whether its trucks took longer than the spreaders.
    pub(super) waits_for_trucks: bool,
}

/// Working hours from the first day on. Spreaders share each field, and begin the next where they
/// end one; trucks haul from the first hour on, in the same order.
#[derive(Clone, Copy, Debug)]
pub(super) struct Clock {
    /// When the spreaders are free.
    pub(super) now: f64,
    trucks_free: f64,
    spreaders: f64,
    trucks: Option<f64>,
}

impl Clock {
    /// At the first hour; trucks that do not count are `None`.
    pub(super) fn of(spreaders: u32, trucks: Option<u32>) -> Self {
        Self {
            now: 0.0,
            trucks_free: 0.0,
            spreaders: f64::from(spreaders),
            trucks: trucks.map(f64::from),
        }
    }

    /// Goes on to the end of a visit, which is not done before the last of its trucks.
    pub(super) fn work(&mut self, task: &Task) -> Done {
        let begins = (self.now + task.moving).max(task.not_before);
        self.now = begins + task.spreading / self.spreaders;
        let mut waits_for_trucks = false;
        if let Some(trucks) = self.trucks {
            self.trucks_free += task.hauling / trucks;
            waits_for_trucks = self.trucks_free > self.now + SAME_HOUR;
            self.now = self.now.max(self.trucks_free);
        }
        Done { begins, waits_for_trucks }
    }
}

/// Hours that lie no further apart are the same but for rounding errors.
pub(super) const SAME_HOUR: f64 = 1e-9;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spreaders_wait_for_a_day_and_for_the_last_truck() {
        let mut clock = Clock::of(2, Some(1));
        let task = Task { moving: 1.0, not_before: 0.0, spreading: 8.0, hauling: 3.0 };
        assert_eq!(clock.work(&task), Done { begins: 1.0, waits_for_trucks: false });
        assert!((clock.now - 5.0).abs() < 1e-12);
        let later = Task { not_before: 20.0, hauling: 0.0, ..task };
        assert_eq!(clock.work(&later), Done { begins: 20.0, waits_for_trucks: false });
        assert!((clock.now - 24.0).abs() < 1e-12);
        let hauled = Task { hauling: 30.0, ..task };
        assert_eq!(clock.work(&hauled), Done { begins: 25.0, waits_for_trucks: true });
        assert!((clock.now - 33.0).abs() < 1e-12);
    }
}
