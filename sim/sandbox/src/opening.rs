//! What is said when no window can be opened at all: a computer without a screen or a graphics driver is common, and a
//! backtrace helps nobody who sits before it.

use std::io::Write;
use std::panic::{PanicHookInfo, set_hook, take_hook};

/// How the libraries below say that there is nothing to draw with, and what we say. They give no error to return: Bevy 0.19
/// panics with these words while its plugins are built, before any code of ours could ask. Asking ahead would need a second
/// window, because only an adapter that can draw into the window counts.
const SAYINGS: [(&str, &str); 3] = [
    ("Unable to find a GPU", NO_ADAPTER),
    ("Failed to create wgpu surface", NO_ADAPTER),
    (
        "Failed to build event loop",
        "no screen was found to open a window on: start the program from a desktop, or name the screen in DISPLAY or \
         WAYLAND_DISPLAY",
    ),
];

const NO_ADAPTER: &str = "no graphics adapter was found that can draw in a window: install a Vulkan driver, on Debian \
                          mesa-vulkan-drivers, which draws without a graphics card too";

/// Has the program end with a sentence and exit code 2 where there is nothing to draw on or with. Every other panic goes the
/// usual way.
pub fn end_in_words_without_graphics() {
    let usual = take_hook();
    set_hook(Box::new(move |info| match said_of(info) {
        Some(words) => {
            let _ = writeln!(std::io::stderr(), "toeline-sandbox: {words}");
            std::process::exit(2);
        }
        None => usual(info),
    }));
}

fn said_of(info: &PanicHookInfo) -> Option<&'static str> {
    let panic = info.payload_as_str()?;
    let (_, words) = SAYINGS.iter().find(|(start, _)| panic.starts_with(start))?;
    Some(words)
}
