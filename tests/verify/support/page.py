# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""One page of all results of scripts/verify: page.py FOLDER reads FOLDER/PART/ and writes FOLDER/verify.html.

Checks that do not hold come first, then every part with its checks, figures and other output. The page is self-contained
and printable.
"""
import base64
import html
import json
import sys
from pathlib import Path

STYLE = """
body { font: 15px/1.45 "DejaVu Sans", Verdana, sans-serif; color: #222; max-width: 70em; margin: 2em auto; padding: 0 1em }
h1, h2 { line-height: 1.2 } h2 { margin-top: 2em; border-top: 2px solid #888; padding-top: .5em }
table { border-collapse: collapse; width: 100% } th, td { text-align: left; vertical-align: top; padding: .25em .6em;
border-bottom: 1px solid #ccc } th { border-bottom: 2px solid #888 } td.verdict { white-space: nowrap }
tr.bad td.verdict { font-weight: bold; color: #a03000 } .why { color: #555 } pre { white-space: pre-wrap; overflow-wrap:
anywhere; background: #f4f4f4; padding: .6em; font-size: 13px } figure { margin: 1em 0; break-inside: avoid } img { max-width: 100% }
@media print { body { font-size: 10px; margin: 0; max-width: none } pre { font-size: 9px } tr, figure { break-inside: avoid } }
"""
COLUMNS = ("check", "published", "simulated", "source", "verdict")


def is_check(line):
    """True for a check: a JSON object with the key "check"."""
    try:
        found = json.loads(line) if line.startswith("{") else None
    except json.JSONDecodeError:
        return None
    return found if isinstance(found, dict) and "check" in found else None


class Part:
    """The output of one program in its folder."""

    def __init__(self, folder):
        self.name, self.checks, self.words = folder.name, [], []
        for line in (folder / "output.txt").read_text(encoding="utf-8", errors="replace").splitlines():
            found = is_check(line)
            if found:
                self.checks.append({key: str(value) for key, value in found.items()})
            else:
                self.words.append(line)
        code, seconds = (folder / "ended").read_text(encoding="utf-8").split()
        self.passed, self.seconds = code == "0", int(seconds)
        self.figures = sorted([*folder.glob("*.svg"), *folder.glob("*.png")])


def table(checks):
    if not checks:
        return ""
    rows = []
    for check in checks:
        cells = [html.escape(check.get(column, "")) for column in COLUMNS]
        if check.get("why"):
            cells[0] += f'<br><span class="why">{html.escape(check["why"])}</span>'
        bad = ' class="bad"' if check.get("verdict") == "does not hold" else ""
        plain = "".join(f"<td>{cell}</td>" for cell in cells[:-1])
        rows.append(f'<tr{bad}>{plain}<td class="verdict">{cells[-1]}</td></tr>')
    head = "".join(f'<th scope="col">{word}</th>' for word in ("check", "must come out", "came out", "source", "verdict"))
    return f"<table><thead><tr>{head}</tr></thead><tbody>{''.join(rows)}</tbody></table>"


def picture(path):
    kind = "svg+xml" if path.suffix == ".svg" else "png"
    data = base64.b64encode(path.read_bytes()).decode()
    return f'<figure><img alt="{html.escape(path.stem)}" src="data:image/{kind};base64,{data}"></figure>'


def section(part):
    state = "as it must be" if part.passed else "<strong>failed</strong>"
    out = [f'<h2 id="{part.name}">{part.name}</h2><p>{state}, {part.seconds} s</p>', table(part.checks)]
    out += [picture(path) for path in part.figures]
    if "".join(part.words).strip():
        out.append(f"<pre>{html.escape(chr(10).join(part.words))}</pre>")
    return "\n".join(out)


def page(parts):
    checks = [check for part in parts for check in part.checks]
    count = {verdict: sum(check.get("verdict") == verdict for check in checks) for verdict in ("holds", "does not hold", "measured")}
    bad = [{**check, "check": f"{part.name}: {check['check']}"} for part in parts for check in part.checks
           if check.get("verdict") == "does not hold"]  # fmt: skip
    failed = [part.name for part in parts if not part.passed]
    links = ", ".join(f'<a href="#{part.name}">{part.name}</a>' for part in parts)
    summary = (
        f"<p>{len(checks)} checks in {len(parts)} parts: {count['holds']} hold, {count['does not hold']} do not, "
        f"{count['measured']} only measured. Parts that failed: {', '.join(failed) or 'none'}. A check may be known not to "
        f"hold, with its reason: then its part does not fail.</p><p>Parts: {links}</p>"
    )
    body = [f"<h1>wintergrub: are the numbers right?</h1>{summary}"]
    if bad:
        body.append(f"<h2>What does not hold</h2>{table(bad)}")
    body += [section(part) for part in parts]
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>wintergrub: verification</title>'
        f"<style>{STYLE}</style></head><body>\n" + "\n".join(body) + "\n</body></html>\n"
    )


def main():
    out = Path(sys.argv[1])
    parts = [Part(folder) for folder in sorted(out.iterdir()) if (folder / "ended").exists()]
    (out / "verify.html").write_text(page(parts), encoding="utf-8")


if __name__ == "__main__":
    main()
