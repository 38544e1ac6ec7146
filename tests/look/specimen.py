"""Renders the specimen pages, photographs them in both lights and audits them.

Run: python -m tests.look.specimen OUTDIR [page ...]. Needs Chromium at /usr/bin/chromium; with AXE set to the path
of axe.min.js every page is audited as well. Pages are served with the content security policy of the house.
"""

import os
import shutil
import sys
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from types import SimpleNamespace

from jinja2 import ChoiceLoader, Environment, FileSystemLoader, StrictUndefined
from playwright.sync_api import ConsoleMessage, Page, sync_playwright

from app.reports.bore_drawing import lay_out_bore
from app.reports.hours_line import lay_out_hours_line
from app.reports.limit_scale_layout import lay_out_limit_scale
from app.reports.section_layout import lay_out_record_section, lay_out_section
from app.reports.trend_plot import lay_out_trend_plot
from app.web.static_files import BUNDLES, piece
from tests.look import sample

ROOT = Path(__file__).parents[2]
POLICY = "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self'; frame-ancestors 'none'"
SIZES = {"wide": (1280, 728), "small": (1024, 680), "tall": (800, 1280), "phone": (320, 640)}
AUDIT = """axe.run().then(found => found.violations.map(one =>
  one.id + " " + one.nodes.map(node => node.target + " " + node.failureSummary).join(" | ")))"""
FITTING = {"gauge", "gauge_pair", "gauge_kept", "gauge_crowded", "gauge_few", "bore"}

RING_RENEW = {
    "how": "one", "verdict": "renew", "kept": False, "leaf": "", "source": "Sheet QM-GA rev C, table 4",
    "reasons": ["0.70 mm is over the limit 0.65 mm. One ring over: the whole set of 3 is renewed."], "also": [],
    "keep": "Keep, go to ring 3", "keep_small": "item 2-06, not gauged yet",
}  # fmt: skip


def gauge_pages() -> dict[str, dict[str, object]]:
    tabs = sample.stage_tabs(2, ("14 of 14", "6 of 8", "0 of 3"))
    common = {"phases": sample.phases(1), "stage_tabs": tabs, "scale": lay_out_limit_scale(sample.a_ring_scale())}
    stage = lay_out_section(sample.a_stage())
    pair = RING_RENEW | {
        "how": "pair", "verdict": "undecided", "reasons": ["The limit 0.65 mm lies between the two leaves."],
        "leaf": "Try 0.65. Does not go: REUSE. Goes: try 0.66.", "scale": lay_out_limit_scale(sample.a_pair_scale()),
        "keep": "Try leaf 0.65", "keep_small": "settles ring 2",
    }  # fmt: skip
    low = {"scale": lay_out_limit_scale(sample.a_piston_scale())}
    both = {"scale": lay_out_limit_scale(sample.a_free_length_scale())}
    return {
        "gauge": common | RING_RENEW | {"section": stage},
        "gauge_pair": common | pair | {"section": stage},
        "gauge_kept": common | RING_RENEW | low | {"section": stage, "kept": True},
        "gauge_crowded": common | RING_RENEW | both | {"section": lay_out_section(sample.a_crowded_stage())},
        "gauge_few": common | RING_RENEW | {"section": lay_out_section(sample.a_small_stage())},
    }


def bore_page() -> dict[str, object]:
    sizes = {"A": ("78.09", "78.12"), "B": ("78.05", "78.07"), "C": ("78.02", "78.03")}
    grid = [
        (level, place, [("P", sizes[level][0], "kept", False), ("T", sizes[level][1], state, level == "C")])
        for level, place, state in (("A", "top", "kept"), ("B", "mid", "kept"), ("C", "low", "typed"))
    ]
    results = [("reuse", "Wear", "0.12", "within 0.15"), ("reuse", "Ovality", "0.03", "within 0.05")]
    results.append(("rework", "Taper", "0.09", "over 0.08"))
    tabs = sample.stage_tabs(2, ("14 of 14", "6 of 8", "0 of 3"))
    return {"bore": lay_out_bore(sample.a_bore()), "grid": grid, "results": results,
            "phases": sample.phases(1), "stage_tabs": tabs}  # fmt: skip


def decide_page() -> dict[str, object]:
    tabs = sample.stage_tabs(0, ("1 rework", "1 to settle", "all REUSE"))
    return {"stages": sample.undecided_stages(), "phases": sample.phases(2), "stage_tabs": tabs}


def machine_page() -> dict[str, object]:
    names = (("GA-1", "open now", True), ("GA-2", "in service", False))
    tabs = [SimpleNamespace(href="#m", name=name, note=note, current=now) for name, note, now in names]
    records = [
        ("24 Nov 2026", "Overhaul 5, gauging", "10 300", "renew", "not signed yet", "none yet"),
        ("16 Mar 2023", "Overhaul 4", "8 240", "renew", "I. Brandreth", "4f2c 91aa"),
        ("02 Jun 2021", "Overhaul 3", "6 150", "rework", "I. Brandreth", "b07e 3d15"),
    ]
    return {
        "machine_tabs": tabs, "phases": sample.phases(1), "records": records,
        "wide": lay_out_hours_line(sample.an_hours_line(1216)), "narrow": lay_out_hours_line(sample.an_hours_line(740)),
        "plots": [lay_out_trend_plot(plot) for plot in sample.some_trends()],
        "section": lay_out_section(sample.a_stage("")),
    }  # fmt: skip


def record_page() -> dict[str, object]:
    section = lay_out_record_section(sample.a_stage(""))
    return {"rows": sample.RECORD_ROWS, "key_words": sample.KEY_WORDS, "section": section}


def all_pages() -> dict[str, dict[str, object]]:
    pages = gauge_pages() | {"bore": bore_page(), "decide": decide_page(), "machine": machine_page()}
    return pages | {"record": record_page(), "form": {}, "sign_in": {"person": None}}


def render(out: Path) -> None:
    loader = ChoiceLoader([FileSystemLoader(Path(__file__).parent / "pages"), FileSystemLoader(ROOT / "templates")])
    environment = Environment(loader=loader, undefined=StrictUndefined, autoescape=True)
    house = {
        "room": "day", "csrf": "0", "notice": "", "book_kind": "Demonstration, invented data", "insecure": False,
        "backup_trouble": "", "damage": "", "clock_trouble": "", "idle_minutes": 0,
        "person": SimpleNamespace(id=1, name="M. Tarrow", role_word="fitter"), "asset": lambda path: f"/static/{path}",
    }  # fmt: skip
    for name, context in all_pages().items():
        template = environment.get_template(f"{'gauge' if name.startswith('gauge') else name}.html")
        (out / f"{name}.html").write_text(template.render(house | context))
    shutil.copytree(ROOT / "static", out / "static", dirs_exist_ok=True)
    for name in BUNDLES:
        (out / "static" / name).write_bytes(piece(name).content)


class Handler(SimpleHTTPRequestHandler):
    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", POLICY)
        super().end_headers()

    def log_message(self, *args: object) -> None:
        pass


def serve(out: Path) -> ThreadingHTTPServer:
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Handler, directory=str(out)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return server


def faults_of(page: Page, name: str, size: str) -> list[str]:
    """Measure what must hold: nothing wider than the screen, gauging pages not scrolling, targets large enough."""
    faults = page.evaluate((Path(__file__).parent / "measure.js").read_text(), [name in FITTING, size])
    axe = os.environ.get("AXE")
    if axe:
        # Playwright adds the script past the page's policy only through evaluate.
        page.evaluate(Path(axe).read_text())
        found = page.evaluate(AUDIT)
        faults += [f"axe {line}" for line in found]
    return faults


def photograph(out: Path, names: list[str]) -> list[str]:
    server, faults = serve(out), []

    def hear(message: ConsoleMessage) -> None:
        if message.type == "error":
            faults.append(f"console {message.text}")

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        for size, (width, height) in SIZES.items():
            page = browser.new_page(viewport={"width": width, "height": height})
            page.on("console", hear)
            for name in names:
                page.goto(f"http://127.0.0.1:{server.server_port}/{name}.html")
                faults += photograph_page(page, out, name, size)
        browser.close()
    server.shutdown()
    return faults


def photograph_page(page: Page, out: Path, name: str, size: str) -> list[str]:
    faults = []
    whole = name not in FITTING or size == "phone"
    for room in ("day", "engine"):
        page.evaluate("room => { document.documentElement.dataset.room = room }", room)
        page.screenshot(path=str(out / f"{name}-{size}-{room}.png"), full_page=whole)
        faults += [f"{name} {size} {room}: {fault}" for fault in faults_of(page, name, size)]
    return faults


def main() -> None:
    out = Path(sys.argv[1])
    out.mkdir(parents=True, exist_ok=True)
    render(out)
    names = sys.argv[2:] or list(all_pages())
    print("\n".join(photograph(out, names)) or "nothing found")


if __name__ == "__main__":
    main()
