//! Devices on Linux, read from the kernel's event nodes: every axis of every device, buttons or none. Joystick libraries pass
//! over a device without a button, and many pedals have none.

use super::device::{AxisInfo, Description, DeviceId, DeviceSource, Report};
use evdev::{AbsoluteAxisCode, Device, EventSummary, KeyCode, PropType};
use std::collections::{BTreeMap, BTreeSet};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// How often the folder of event nodes is looked through.
const LOOK_EVERY: Duration = Duration::from_millis(700);
/// Looks in which a node may stay locked before it is said: rights come a moment after the node.
const PATIENCE: u32 = 3;
/// Reads from one device in one poll, so that a device gone mad cannot hold the program up.
const MOST_READS: u32 = 64;
/// Axes with a number up to this are those of sticks, wheels, pedals and hats; beyond are volume, pressure and touch.
const LAST_STICK_AXIS: u16 = 0x17;
const TOUCHES: [u16; 3] = [0x140, 0x145, 0x14a];

/// The event nodes of this computer.
pub struct EventNodes {
    folder: PathBuf,
    sysfs: PathBuf,
    open: BTreeMap<String, (DeviceId, Device)>,
    passed_over: BTreeSet<String>,
    locked: BTreeMap<String, u32>,
    next_id: u32,
    next_look: Option<Instant>,
}

impl Default for EventNodes {
    fn default() -> EventNodes {
        EventNodes {
            folder: "/dev/input".into(),
            sysfs: "/sys/class/input".into(),
            open: BTreeMap::new(),
            passed_over: BTreeSet::new(),
            locked: BTreeMap::new(),
            next_id: 1,
            next_look: None,
        }
    }
}

/// What a device node turned out to be.
enum Opened {
    Ours(Box<Device>, Description),
    NotOurs,
    Locked,
}

impl DeviceSource for EventNodes {
    fn poll(&mut self) -> Vec<Report> {
        let mut reports = Vec::new();
        let now = Instant::now();
        if self.next_look.is_none_or(|at| now >= at) {
            self.next_look = Some(now + LOOK_EVERY);
            self.look(&mut reports);
        }
        let mut lost = Vec::new();
        for (name, (id, device)) in &mut self.open {
            if !read(*id, device, &mut reports) {
                lost.push(name.clone());
            }
        }
        for name in lost {
            self.let_go(&name, &mut reports);
        }
        reports
    }
}

impl EventNodes {
    fn let_go(&mut self, name: &str, reports: &mut Vec<Report>) {
        if let Some((id, _)) = self.open.remove(name) {
            reports.push(Report::Gone(id));
        }
    }

    /// Looks what nodes came and went.
    fn look(&mut self, reports: &mut Vec<Report>) {
        // Without the folder there are no devices; it may come later.
        let there: BTreeSet<String> = std::fs::read_dir(&self.folder)
            .into_iter()
            .flatten()
            .filter_map(|e| Some(e.ok()?.file_name().to_string_lossy().into_owned()))
            .filter(|n| n.starts_with("event"))
            .collect();
        let gone: Vec<String> = self.open.keys().filter(|n| !there.contains(*n)).cloned().collect();
        for name in gone {
            self.let_go(&name, reports);
        }
        self.passed_over.retain(|n| there.contains(n));
        self.locked.retain(|n, _| there.contains(n));
        for name in there {
            if self.open.contains_key(&name) || self.passed_over.contains(&name) {
                continue;
            }
            match open(&self.folder.join(&name)) {
                Opened::Ours(device, info) => {
                    let id = DeviceId(self.next_id);
                    self.next_id += 1;
                    self.locked.remove(&name);
                    reports.push(Report::Here(id, info));
                    self.open.insert(name, (id, *device));
                }
                Opened::NotOurs => {
                    self.passed_over.insert(name);
                }
                Opened::Locked => {
                    let looks = self.locked.entry(name.clone()).or_insert(0);
                    *looks = looks.saturating_add(1);
                    if *looks == PATIENCE
                        && let Some(words) = locked_words(&self.sysfs, &self.folder, &name)
                    {
                        reports.push(Report::Locked(words));
                    }
                }
            }
        }
    }
}

fn open(node: &Path) -> Opened {
    let device = match Device::open(node) {
        Ok(device) => device,
        Err(e) if e.kind() == ErrorKind::PermissionDenied => return Opened::Locked,
        Err(_) => return Opened::NotOurs,
    };
    let Some(supported) = device.supported_absolute_axes() else {
        return Opened::NotOurs;
    };
    let touch = device
        .supported_keys()
        .is_some_and(|keys| TOUCHES.iter().any(|t| keys.contains(KeyCode(*t))));
    let stick = supported.iter().any(|a| a.0 <= LAST_STICK_AXIS);
    // The kernel's own mark of an accelerometer; udev's guess of one, which catches some pedals, is not asked.
    if touch || !stick || device.properties().contains(PropType::ACCELEROMETER) || device.set_nonblocking(true).is_err()
    {
        return Opened::NotOurs;
    }
    let Ok(infos) = device.get_absinfo() else {
        return Opened::NotOurs;
    };
    let axes = infos
        .map(|(AbsoluteAxisCode(code), a)| AxisInfo {
            code: code.into(),
            least: a.minimum(),
            greatest: a.maximum(),
            now: a.value(),
        })
        .collect();
    let id = device.input_id();
    let info = Description {
        name: device.name().unwrap_or("a device without a name").trim().to_string(),
        vendor: id.vendor(),
        product: id.product(),
        axes,
        buttons: device
            .supported_keys()
            .map(|keys| keys.iter().map(|k| u32::from(k.0)).collect())
            .unwrap_or_default(),
    };
    Opened::Ours(Box::new(device), info)
}

/// Reads what has happened; false when the device is gone.
fn read(id: DeviceId, device: &mut Device, reports: &mut Vec<Report>) -> bool {
    for _ in 0..MOST_READS {
        match device.fetch_events() {
            Ok(events) => {
                for event in events {
                    match event.destructure() {
                        EventSummary::AbsoluteAxis(_, axis, raw) => {
                            reports.push(Report::Axis(id, axis.0.into(), raw));
                        }
                        // 2 is a repeat of a button that is held.
                        EventSummary::Key(_, key, value @ 0..=1) => {
                            reports.push(Report::Button(id, key.0.into(), value == 1));
                        }
                        _ => {}
                    }
                }
            }
            Err(e) if e.kind() == ErrorKind::WouldBlock => return true,
            Err(e) if e.kind() == ErrorKind::Interrupted => {}
            Err(_) => return false,
        }
    }
    true
}

/// Whether a locked node is likely to be one of ours, by what the kernel tells everybody, and what to do then.
fn locked_words(sysfs: &Path, folder: &Path, node: &str) -> Option<String> {
    let tell = |part: &str| {
        std::fs::read_to_string(sysfs.join(node).join("device").join(part))
            .map(|t| t.trim().to_string())
            .unwrap_or_default()
    };
    let stick_axes: u64 = (1 << (LAST_STICK_AXIS + 1)) - 1;
    let keys = tell("capabilities/key");
    if lowest_word(&tell("capabilities/abs")) & stick_axes == 0 || TOUCHES.iter().any(|t| bit_is_set(&keys, *t)) {
        return None;
    }
    let (vendor, product) = (tell("id/vendor"), tell("id/product"));
    Some(format!(
        "{} ({vendor}:{product}) is plugged in, but {} may not be read. docs/controls.md has the udev rule that allows it.",
        tell("name"),
        folder.join(node).display()
    ))
}

/// The bits 0 to 63 of one of the kernel's bit lists: words in base 16, the highest first.
fn lowest_word(list: &str) -> u64 {
    list.split_whitespace()
        .next_back()
        .and_then(|w| u64::from_str_radix(w, 16).ok())
        .unwrap_or(0)
}

fn bit_is_set(list: &str, bit: u16) -> bool {
    let words: Vec<&str> = list.split_whitespace().collect();
    words
        .iter()
        .rev()
        .nth(usize::from(bit / 64))
        .and_then(|w| u64::from_str_radix(w, 16).ok())
        .is_some_and(|w| w >> (bit % 64) & 1 == 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_locked_set_of_pedals_is_named_and_a_locked_keyboard_is_not() {
        let folder = std::env::temp_dir().join(format!("toeline-locked-{}", std::process::id()));
        let write = |node: &str, part: &str, text: &str| {
            let file = folder.join(node).join("device").join(part);
            std::fs::create_dir_all(file.parent().expect("a folder")).expect("made");
            std::fs::write(file, text).expect("written");
        };
        write("event3", "capabilities/abs", "23\n");
        write("event3", "capabilities/key", "0\n");
        write("event3", "name", "Made-up pedals\n");
        write("event3", "id/vendor", "1209\n");
        write("event3", "id/product", "0001\n");
        write("event4", "capabilities/abs", "100000000\n");
        write("event5", "capabilities/abs", "3\n");
        write("event5", "capabilities/key", "400 0 0 0 0 0\n");
        let words = |node| locked_words(&folder, Path::new("/dev/input"), node);
        let said = words("event3").expect("pedals");
        assert!(
            said.contains("Made-up pedals (1209:0001)") && said.contains("/dev/input/event3"),
            "{said}"
        );
        assert_eq!(words("event4"), None, "a volume knob");
        assert_eq!(words("event5"), None, "a touch pad");
        assert_eq!(words("event9"), None, "nothing is known of it");
        std::fs::remove_dir_all(&folder).expect("removed");
    }

    #[test]
    fn a_folder_that_is_not_there_and_nodes_that_are_none_do_no_harm() {
        let folder = std::env::temp_dir().join(format!("toeline-nodes-{}", std::process::id()));
        let mut nodes = EventNodes {
            folder: folder.clone(),
            ..EventNodes::default()
        };
        assert_eq!(nodes.poll(), []);
        std::fs::create_dir_all(folder.join("event1")).expect("made");
        std::fs::write(folder.join("event2"), "no device").expect("written");
        nodes.next_look = None;
        assert_eq!(nodes.poll(), []);
        std::fs::remove_dir_all(&folder).expect("removed");
        nodes.next_look = None;
        assert_eq!(nodes.poll(), []);
    }
}
