//! Made-up pedals and sticks played to the real program through the kernel's interface, which a mock device bed stands in for:
//! a set without a button must be seen, its axes read raw, and pulling it out must do no harm. Skipped, in words, where the
//! bed is not installed or the system has no such devices.

#![cfg(target_os = "linux")]
#![expect(clippy::print_stdout, reason = "a skipped check says so")]

use std::fmt::Write;
use std::path::PathBuf;
use std::process::Command;

/// An axis: kernel number, least, greatest, now.
type Axis = (u16, i32, i32, i32);
/// Something that happens: seconds, kind (1 button, 3 axis), number, value.
type Happens = (f64, u16, u16, i32);

const EV_KEY: u16 = 1;
const EV_ABS: u16 = 3;

struct MadeUp {
    node: &'static str,
    name: &'static str,
    product: u16,
    axes: Vec<Axis>,
    buttons: Vec<u16>,
    happens: Vec<Happens>,
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut s, b| {
        let _ = write!(s, "{b:02X}");
        s
    })
}

fn bits(set: impl Iterator<Item = u16>, bytes: usize) -> String {
    let mut list = vec![0_u8; bytes];
    for bit in set {
        list[usize::from(bit / 8)] |= 1 << (bit % 8);
    }
    hex(&list)
}

impl MadeUp {
    /// Answers to what a program asks about the device. The sizes are those of the kernel's lists and of the program's own
    /// buffer for the name.
    fn answers(&self) -> String {
        let mut name = self.name.as_bytes().to_vec();
        name.push(0);
        let length = name.len();
        name.resize(256, 0);
        let mut id = Vec::new();
        for n in [3, 0x1209, self.product, 0x0111] {
            id.extend(n.to_le_bytes());
        }
        let kinds = [0, EV_ABS]
            .into_iter()
            .chain((!self.buttons.is_empty()).then_some(EV_KEY));
        let mut text = format!(
            "@DEV /dev/input/{}\nEVIOCGVERSION 0 01000100\nEVIOCGID 0 {}\nEVIOCGNAME {length} {}\nEVIOCGPROP 4 00000000\n\
             EVIOCGBIT(0) 4 {}\nEVIOCGBIT(3) 8 {}\n",
            self.node,
            hex(&id),
            hex(&name),
            bits(kinds, 4),
            bits(self.axes.iter().map(|a| a.0), 8)
        );
        if !self.buttons.is_empty() {
            let _ = writeln!(text, "EVIOCGBIT(1) 96 {}", bits(self.buttons.iter().copied(), 96));
        }
        for (code, least, greatest, now) in &self.axes {
            let info: Vec<u8> = [*now, *least, *greatest, 0, 0, 0]
                .into_iter()
                .flat_map(i32::to_le_bytes)
                .collect();
            let _ = writeln!(text, "EVIOCGABS({code}) 0 {}", hex(&info));
        }
        text
    }

    fn events(&self) -> String {
        self.happens
            .iter()
            .fold(String::new(), |mut s, (at, kind, code, value)| {
                let _ = writeln!(s, "E: {at:.6} {kind:04X} {code:04X} {value}\nE: {at:.6} 0000 0000 0");
                s
            })
    }
}

/// A folder of the test's own, removed afterwards.
struct Folder(PathBuf);

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Runs a shell command among made-up devices and returns what it printed; `None`, with the reason printed, when it cannot.
fn play(name: &str, devices: &[MadeUp], command: &str) -> Option<String> {
    if Command::new("umockdev-run").arg("--version").output().is_err() {
        println!("skipped: umockdev-run is not installed");
        return None;
    }
    let folder = Folder(std::env::temp_dir().join(format!("toeline-pedals-{name}-{}", std::process::id())));
    std::fs::create_dir_all(&folder.0).expect("a folder to work in");
    let mut run = Command::new("timeout");
    run.args(["60", "umockdev-run"]);
    for (number, d) in devices.iter().enumerate() {
        let file = |ending: &str, text: &str| -> String {
            let path = folder.0.join(format!("{}.{ending}", d.node));
            std::fs::write(&path, text).expect("written");
            path.display().to_string()
        };
        let bed = format!(
            "P: /devices/made/input/input{number}/{node}\nN: input/{node}\nE: DEVNAME=/dev/input/{node}\n\
             E: SUBSYSTEM=input\nA: dev=13:{minor}\\n\n\n",
            node = d.node,
            minor = 64 + number
        );
        let node = format!("/dev/input/{}", d.node);
        run.arg("-d").arg(file("umockdev", &bed));
        run.arg("-i").arg(format!("{node}={}", file("ioctl", &d.answers())));
        run.arg("-e").arg(format!("{node}={}", file("events", &d.events())));
    }
    let out = run
        .args(["--", "sh", "-c", command])
        .env("SANDBOX", env!("CARGO_BIN_EXE_toeline-sandbox"))
        .env("TOELINE_CONFIG", folder.0.join("settings"))
        .output()
        .expect("the bed runs");
    let (said, trouble) = (
        String::from_utf8_lossy(&out.stdout).into_owned(),
        String::from_utf8_lossy(&out.stderr).into_owned(),
    );
    assert!(out.status.success(), "{}\n{said}\n{trouble}", out.status);
    assert!(!trouble.contains("panicked"), "{trouble}");
    Some(said)
}

fn must_say(said: &str, lines: &[&str]) {
    for line in lines {
        assert!(
            said.lines().any(|l| l.trim() == *line),
            "\"{line}\" is missing in:\n{said}"
        );
    }
}

/// Two toe brakes and a bar, no button: X, Y, RZ. The joystick interface never shows such a set.
fn xyrz() -> MadeUp {
    MadeUp {
        node: "event5",
        name: "Made-up pedals A",
        product: 1,
        axes: vec![(0, 0, 255, 0), (1, 0, 255, 0), (5, 0, 1023, 512)],
        buttons: vec![],
        happens: vec![
            (0.5, EV_ABS, 0, 255),
            (0.6, EV_ABS, 1, 51),
            (0.7, EV_ABS, 5, 0),
            (0.8, EV_ABS, 5, 1023),
            (0.9, EV_ABS, 0, 0),
        ],
    }
}

#[test]
fn three_axes_without_a_button_are_two_brakes_and_a_bar() {
    let Some(listed) = play("list", &[xyrz()], "\"$SANDBOX\" --feet-list") else {
        return;
    };
    must_say(
        &listed,
        &[
            "Made-up pedals A (1209:0001), 0 buttons, assigned by guess",
            "X: raw 0 to 255, now 0, drives left brake",
            "Y: raw 0 to 255, now 0, drives right brake",
            "RZ: raw 0 to 1023, now 512, drives rudder",
        ],
    );
    let Some(said) = play("xyrz", &[xyrz()], "\"$SANDBOX\" --feet-watch 3") else {
        return;
    };
    must_say(
        &said,
        &[
            "X: raw 255 is left brake 1.000",
            "RZ: raw 0 is rudder -1.000",
            "RZ: raw 1023 is rudder 1.000",
            "X: raw 0 is left brake 0.000",
            // 51 of 255 is a fifth; 2 % dead zone: (0.20 - 0.02) / 0.98.
            "Y: raw 51 is right brake 0.184",
        ],
    );
}

#[test]
fn the_bar_may_be_on_z() {
    let pedals = MadeUp {
        node: "event7",
        name: "Made-up pedals B",
        product: 2,
        axes: vec![(0, -127, 127, -127), (1, -127, 127, -127), (2, -512, 511, 0)],
        buttons: vec![],
        happens: vec![(0.5, EV_ABS, 2, -512), (0.6, EV_ABS, 1, 127), (0.7, EV_ABS, 0, -127)],
    };
    let Some(said) = play("xyz", &[pedals], "\"$SANDBOX\" --feet-watch 2.5") else {
        return;
    };
    must_say(
        &said,
        &["Z: raw -512 is rudder -1.000", "Y: raw 127 is right brake 1.000"],
    );
}

#[test]
fn a_stick_with_buttons_is_read_beside_pedals_without() {
    let stick = MadeUp {
        node: "event6",
        name: "Made-up stick",
        product: 3,
        axes: vec![
            (0, 0, 1023, 512),
            (1, 0, 1023, 512),
            (5, 0, 255, 128),
            (6, 0, 255, 255),
            (7, 0, 255, 128),
        ],
        buttons: vec![0x120, 0x121],
        happens: vec![
            (0.5, EV_ABS, 6, 0),
            (0.6, EV_ABS, 7, 255),
            (0.7, EV_ABS, 5, 3),
            (0.8, EV_KEY, 0x121, 1),
            (0.9, EV_KEY, 0x121, 0),
            (1.0, EV_ABS, 1, 1023),
        ],
    };
    let Some(said) = play("stick", &[xyrz(), stick], "\"$SANDBOX\" --feet-watch 3") else {
        return;
    };
    must_say(
        &said,
        &[
            "here: Made-up pedals A (1209:0001)",
            "here: Made-up stick (1209:0003)",
            "throttle: raw 0 is throttle 0.000",
            "rudder: raw 255 is rudder 1.000",
            "RZ: raw 3 drives nothing",
            "button 289 down",
            "button 289 up",
            "Y: raw 1023 is elevator 1.000",
            "RZ: raw 1023 is rudder 1.000",
        ],
    );
}

#[test]
fn pulled_out_and_put_back_it_goes_on() {
    // The node goes and comes as when a plug is pulled; the program must notice both by itself.
    let command = "\"$SANDBOX\" --feet-watch 6 & sleep 2.5; nodes=$UMOCKDEV_DIR/dev/input; \
                   mv $nodes/event5 $nodes/away; sleep 1.5; mv $nodes/away $nodes/event5; wait $!";
    let Some(said) = play("plug", &[xyrz()], command) else {
        return;
    };
    let order: Vec<&str> = said
        .lines()
        .filter(|l| l.starts_with("here") || l.starts_with("gone"))
        .collect();
    assert_eq!(
        order,
        [
            "here: Made-up pedals A (1209:0001)",
            "gone: Made-up pedals A; to the keys: rudder, left brake, right brake",
            "here: Made-up pedals A (1209:0001)",
        ],
        "{said}"
    );
}

#[test]
fn a_touch_pad_and_a_volume_knob_are_not_for_feet() {
    let other = |node, name, product, axes, buttons| MadeUp {
        node,
        name,
        product,
        axes,
        buttons,
        happens: vec![],
    };
    let touch = other(
        "event1",
        "Made-up touch pad",
        8,
        vec![(0, 0, 4000, 0), (1, 0, 4000, 0)],
        vec![0x14a, 0x145],
    );
    let volume = other("event2", "Made-up volume knob", 9, vec![(0x20, 0, 100, 0)], vec![]);
    let Some(said) = play("other", &[touch, volume], "\"$SANDBOX\" --feet-list") else {
        return;
    };
    assert_eq!(said.trim(), "No pedals, stick or gamepad is plugged in.");
}
