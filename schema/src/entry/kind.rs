//! What every event can be asked: which build it belongs to, and the word of its kind.

use super::{Confirmed, Event, PlanPin};

impl Event {
    /// The plan whose file is kept beside the entry.
    pub fn plan(&self) -> Option<&PlanPin> {
        match self {
            Self::BuildStarted { plan, .. } => Some(plan),
            Self::PlanChanged(changed) => Some(&changed.plan),
            _ => None,
        }
    }

    /// The build that the event belongs to.
    pub fn build(&self) -> Option<&str> {
        match self {
            Self::BuildStarted { build, .. }
            | Self::ToolAssigned { build, .. }
            | Self::PointedAt { build, .. }
            | Self::Acknowledged { build, .. }
            | Self::Disposed { build, .. }
            | Self::BuildFinished { build, .. }
            | Self::RecordSealed { build, .. } => Some(build),
            Self::Pulled(pulled) => pulled.build.as_deref(),
            Self::CheckMeasured(measured) => measured.build.as_deref(),
            Self::CheckPlaced(placed) => Some(&placed.build),
            Self::OverNow(over) => Some(&over.build),
            Self::Placed(placed) => Some(&placed.build),
            Self::Affected(affected) => Some(&affected.build),
            Self::Loosened(on) | Self::TakenUp(on) | Self::Prepared(on) | Self::Looked(on) => {
                Some(&on.build)
            }
            Self::Deferred(waits) => Some(&waits.build),
            Self::Withdrawn(withdrawn) => Some(&withdrawn.build),
            Self::PartFitted(fitted) => Some(&fitted.build),
            Self::PartSwapped(swapped) => Some(&swapped.build),
            Self::LaidAside(on) | Self::Resumed(on) => Some(&on.build),
            Self::PlanChanged(changed) => Some(&changed.build),
            Self::Noted(noted) => Some(&noted.build),
            Self::HandedOver(handed) => Some(&handed.build),
            Self::Reopened(reopened) => Some(&reopened.build),
            Self::DueTold(told) => Some(&told.build),
            Self::Ridden(ridden) => Some(&ridden.build),
            Self::Started { .. }
            | Self::ClockChanged { .. }
            | Self::ToolAdded { .. }
            | Self::ToolConnected { .. }
            | Self::ToolGone { .. }
            | Self::ToolCertified { .. }
            | Self::ToolFitted { .. }
            | Self::CheckBegun { .. }
            | Self::CheckGivenUp { .. }
            | Self::ToolChecked(_)
            | Self::Recalled(_)
            | Self::ToolSaid { .. }
            | Self::HeadSigned(_)
            | Self::HeadTimestamped(_)
            | Self::KeyLinked(_)
            | Self::PersonAdded(_)
            | Self::PersonRenamed(_)
            | Self::PinChanged(_)
            | Self::PersonLeft(_)
            | Self::PinLocked(_)
            | Self::DevicePaired(_)
            | Self::DeviceRevoked(_)
            | Self::Unreadable { .. } => None,
        }
    }

    /// Says how the person showed that it is them, where the event has a place for it: those that need it.
    pub const fn confirm(&mut self, how: Confirmed) {
        let place = match self {
            Self::Disposed { confirmed, .. } | Self::RecordSealed { confirmed, .. } => confirmed,
            // A reading that was only cleared up by it was placed by nobody.
            Self::Placed(placed) if placed.placement.is_by_a_person() => &mut placed.confirmed,
            Self::CheckPlaced(placed) => &mut placed.confirmed,
            _ => return,
        };
        *place = Some(how);
    }

    /// The word under which it is stored.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Started { .. } => "started",
            Self::ClockChanged { .. } => "clock-changed",
            Self::ToolAdded { .. } => "tool-added",
            Self::ToolConnected { .. } => "tool-connected",
            Self::ToolGone { .. } => "tool-gone",
            Self::ToolCertified { .. } => "tool-certified",
            Self::ToolFitted { .. } => "tool-fitted",
            Self::CheckBegun { .. } => "check-begun",
            Self::CheckGivenUp { .. } => "check-given-up",
            Self::ToolChecked(_) => "tool-checked",
            Self::Recalled(_) => "recalled",
            Self::Affected(_) => "affected",
            Self::ToolSaid { .. } => "tool-said",
            Self::OverNow(_) => "over-now",
            Self::BuildStarted { .. } => "build-started",
            Self::ToolAssigned { .. } => "tool-assigned",
            Self::PointedAt { .. } => "pointed-at",
            Self::Pulled(_) => "pulled",
            Self::CheckMeasured(_) => "check-measured",
            Self::CheckPlaced(_) => "check-placed",
            Self::Unreadable { .. } => "unreadable",
            Self::Placed(_) => "placed",
            Self::Acknowledged { .. } => "acknowledged",
            Self::Loosened(_) => "loosened",
            Self::Deferred(_) => "deferred",
            Self::TakenUp(_) => "taken-up",
            Self::Prepared(_) => "prepared",
            Self::Looked(_) => "looked",
            Self::Disposed { .. } => "disposed",
            Self::Withdrawn(_) => "withdrawn",
            Self::PartFitted(_) => "part-fitted",
            Self::PartSwapped(_) => "part-swapped",
            Self::LaidAside(_) => "laid-aside",
            Self::Resumed(_) => "resumed",
            Self::PlanChanged(_) => "plan-changed",
            Self::Noted(_) => "noted",
            Self::HandedOver(_) => "handed-over",
            Self::BuildFinished { .. } => "build-finished",
            Self::RecordSealed { .. } => "record-sealed",
            Self::HeadSigned(_) => "head-signed",
            Self::HeadTimestamped(_) => "head-timestamped",
            Self::KeyLinked(_) => "key-linked",
            Self::Reopened(_) => "reopened",
            Self::DueTold(_) => "due-told",
            Self::Ridden(_) => "ridden",
            Self::PersonAdded(_) => "person-added",
            Self::PersonRenamed(_) => "person-renamed",
            Self::PinChanged(_) => "pin-changed",
            Self::PersonLeft(_) => "person-left",
            Self::PinLocked(_) => "pin-locked",
            Self::DevicePaired(_) => "device-paired",
            Self::DeviceRevoked(_) => "device-revoked",
        }
    }

    /// Whether it raised an over alarm: of a pull, of a measurement that can have hurt a part, or of a pull that was not over
    /// yet.
    pub fn raises_alarm(&self) -> bool {
        match self {
            Self::OverNow(_) => true,
            Self::Pulled(pulled) => pulled.alarm.is_some(),
            Self::Placed(placed) => placed.alarm.is_some(),
            Self::CheckMeasured(measured) => measured.alarm.is_some(),
            Self::CheckPlaced(placed) => placed.alarm.is_some(),
            Self::PlanChanged(changed) => {
                let mut pulls = changed.judged.iter();
                let mut checks = changed.judged_checks.iter();
                pulls.any(|judged| judged.alarm.is_some())
                    || checks.any(|judged| judged.alarm.is_some())
            }
            _ => false,
        }
    }
}
