"""Drives headless Chromium over the DevTools protocol, by its own pipe: no port, no package.

In: {"page": text, "steps": [[what, ...], ...]}. Out: {"answers": [one a step], "console": [...], "requests": [...]}, or [why] when
it cannot be run. Every mouse move, key and finger is a real input event of the browser. Steps:

size W H [touch]   window, in pixels             eval JS          value of an expression
move X Y           the mouse                     click X Y        left button
wheel X Y DY       the wheel                     drag X Y X2 Y2   with the left button
pinch X Y BY       two fingers drawn apart       tap X Y          a finger
key NAME [times]   a key                         media NAME VALUE a media feature
scripts on|off     and the page is loaded again  pdf              [text of every page]
tab JS             Tab until JS is true; how many, or null after 120
shot FILE          a picture, for people         wait MS

In place of "X Y" a step may have JS that gives [X, Y].
"""

import base64
import io
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time


class Browser:
    def __init__(self, program, folder):
        to_it, ours_out = os.pipe()
        ours_in, from_it = os.pipe()

        def wire():
            # The browser reads commands from 3 and writes answers to 4. Out of the way first, then into place.
            a, b = os.dup(to_it), os.dup(from_it)
            os.dup2(a, 3)
            os.dup2(b, 4)

        self.process = subprocess.Popen(
            [program, "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run", "--remote-debugging-pipe",
             "--disable-background-networking", "--disable-component-update", f"--user-data-dir={folder}", "about:blank"],
            preexec_fn=wire, close_fds=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )
        os.close(to_it)
        os.close(from_it)
        self.out, self.input = ours_out, os.fdopen(ours_in, "rb", buffering=0)
        self.silent, self.number, self.session, self.console, self.requests, self.loaded, self.left = False, 0, None, [], [], 0, b""

    def message(self):
        while b"\0" not in self.left:
            piece = self.input.read(65536)
            if not piece:
                raise RuntimeError("the browser has gone")
            self.left += piece
        one, self.left = self.left.split(b"\0", 1)
        return json.loads(one)

    def event(self, said):
        what, p = said.get("method"), said.get("params", {})
        if what == "Runtime.consoleAPICalled":
            self.console.append(" ".join(str(a.get("value", a.get("description"))) for a in p["args"]))
        elif what == "Runtime.exceptionThrown":
            self.console.append(p["exceptionDetails"].get("exception", {}).get("description", p["exceptionDetails"]["text"]))
        elif what == "Log.entryAdded":
            self.console.append(p["entry"]["text"])
        elif what == "Network.requestWillBeSent":
            self.requests.append(p["request"]["url"])
        elif what == "Page.loadEventFired":
            self.loaded += 1

    def call(self, method, **params):
        self.number += 1
        asked = {"id": self.number, "method": method, "params": params}
        if self.session:
            asked["sessionId"] = self.session
        os.write(self.out, json.dumps(asked).encode() + b"\0")
        while True:
            said = self.message()
            if said.get("id") == self.number:
                if "error" in said:
                    raise RuntimeError(f"{method}: {said['error']}")
                return said["result"]
            self.event(said)

    def load(self, url):
        before = self.loaded
        self.call("Page.navigate", url=url)
        while self.loaded == before:
            self.event(self.message())
        self.settle()

    def eval(self, expression):
        found = self.call("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in found:
            raise RuntimeError(f"{expression}: {found['exceptionDetails']}")
        return found["result"].get("value")

    def settle(self):
        """Two frames: what was asked for is drawn. Without scripts there is nobody to tell, so it waits."""
        if self.silent:
            time.sleep(0.3)
            return
        self.eval("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(1))))")

    def mouse(self, kind, x, y, **more):
        self.call("Input.dispatchMouseEvent", type=kind, x=x, y=y, **more)

    def press(self, x, y, released_at=None):
        button = {"button": "left", "clickCount": 1}
        self.mouse("mouseMoved", x, y)
        self.mouse("mousePressed", x, y, buttons=1, **button)
        if released_at:
            for i in range(1, 6):
                part = i / 5
                self.mouse("mouseMoved", x + (released_at[0] - x) * part, y + (released_at[1] - y) * part, button="left", buttons=1)
        self.mouse("mouseReleased", *(released_at or (x, y)), **button)

    def key(self, name):
        text = {"text": name} if len(name) == 1 else {"text": "\r"} if name == "Enter" else {}
        code = CODES.get(name, ord(name[0]))
        self.call("Input.dispatchKeyEvent", type="keyDown", key=name, windowsVirtualKeyCode=code, **text)
        self.call("Input.dispatchKeyEvent", type="keyUp", key=name, windowsVirtualKeyCode=code)

    def touch(self, kind, points):
        self.call("Input.dispatchTouchEvent", type=kind, touchPoints=[{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(points)])


CODES = {"Tab": 9, "Enter": 13, "Escape": 27, "ArrowLeft": 37, "ArrowUp": 38, "ArrowRight": 39, "ArrowDown": 40, " ": 32}


def step(b, url, what, *args):
    if what in ("move", "click", "drag", "wheel", "tap", "pinch") and isinstance(args[0], str):
        args = (*b.eval(args[0]), *args[1:])
    if what == "size":
        wide, high, *touch = args
        b.call("Emulation.setDeviceMetricsOverride", width=wide, height=high, deviceScaleFactor=1, mobile=bool(touch))
        b.call("Emulation.setTouchEmulationEnabled", enabled=bool(touch))
    elif what == "eval":
        return b.eval(args[0])
    elif what == "move":
        b.mouse("mouseMoved", *args)
    elif what == "click":
        b.press(*args)
    elif what == "drag":
        b.press(args[0], args[1], args[2:4])
    elif what == "wheel":
        b.mouse("mouseWheel", args[0], args[1], deltaX=0, deltaY=args[2])
    elif what == "tap":
        b.touch("touchStart", [args])
        b.touch("touchEnd", [])
    elif what == "pinch":
        x, y, by = args
        b.touch("touchStart", [(x - 20, y), (x + 20, y)])
        for i in range(1, 11):
            apart = 20 * (1 + (by - 1) * i / 10)
            b.touch("touchMove", [(x - apart, y), (x + apart, y)])
        b.touch("touchEnd", [])
    elif what == "key":
        for _ in range(args[1] if len(args) > 1 else 1):
            b.key(args[0])
    elif what == "tab":
        for pressed in range(1, 121):
            b.key("Tab")
            if b.eval(args[0]):
                b.settle()
                return pressed
        return None
    elif what == "media":
        how = {"media": args[0]} if len(args) == 1 else {"features": [{"name": args[0], "value": args[1]}]}
        b.call("Emulation.setEmulatedMedia", **how)
    elif what == "scripts":
        b.silent = args[0] == "off"
        b.call("Emulation.setScriptExecutionDisabled", value=b.silent)
        b.load(url)
    elif what == "pdf":
        made = b.call("Page.printToPDF", preferCSSPageSize=True, printBackground=True)
        data = base64.b64decode(made["data"])
        if len(args) > 0:
            pathlib.Path(args[0]).write_bytes(data)
        from pypdf import PdfReader

        return [page.extract_text() for page in PdfReader(io.BytesIO(data)).pages]
    elif what == "shot":
        made = b.call("Page.captureScreenshot", format="png", captureBeyondViewport=len(args) > 1)
        pathlib.Path(args[0]).write_bytes(base64.b64decode(made["data"]))
    elif what == "wait":
        time.sleep(args[0] / 1000)
    else:
        raise RuntimeError(f"no such step: {what}")
    if what != "eval":
        b.settle()
    return None


def main():
    asked = json.load(sys.stdin)
    found = [shutil.which(n) for n in ("chromium", "chromium-browser", "google-chrome")]
    program = next((f for f in found if f), None)
    if program is None:
        json.dump(["there is no chromium"], sys.stdout)
        return
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        file = pathlib.Path(folder) / "page.html"
        file.write_text(asked["page"], encoding="utf-8")
        url = file.as_uri()
        b = Browser(program, folder + "/profile")
        try:
            target = b.call("Target.createTarget", url="about:blank")["targetId"]
            b.session = b.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
            for domain in ("Page", "Runtime", "Log", "Network"):
                b.call(domain + ".enable")
            b.load(url)
            answers = [step(b, url, *s) for s in asked["steps"]]
        finally:
            b.process.kill()
            b.process.wait()
        others = [r for r in b.requests if r != url]
    json.dump({"answers": answers, "console": b.console, "requests": others}, sys.stdout)


if __name__ == "__main__":
    main()
