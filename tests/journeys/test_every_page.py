"""Every page of the program is accessible: axe-core, keyboard, target size, zoom, narrow screens.

axe-core has the rules of WCAG 2.0 to 2.2, levels A and AA. Beside it are checked: the focus is
seen (WCAG 2.4.7), a target is 24 by 24 pixels (2.5.8), nothing is wider than the screen or cut
off at 390 pixels and at 200 % zoom (1.4.4, 1.4.10), no letter is smaller than 18 pixels.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.journeys.desks import NARROW, WIDE, Desks
from tests.journeys.every_page import Filled, fill, paths

AXE = (Path(__file__).parents[1] / "reference" / "axe" / "axe.min.js").read_text(encoding="utf-8")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
ZOOMED = (683, 384)
"""1366×768 at 200 % zoom, in CSS pixels."""

_FAULTS = """async ([scheme, run]) => {
    document.documentElement.dataset.scheme = scheme;
    const found = await axe.run(document, {runOnly: run, resultTypes: ['violations'],
        rules: run.type === 'tag' ? {'target-size': {enabled: true}} : {}});
    return found.violations.flatMap((fault) => fault.nodes.map((node) =>
        `${scheme} ${fault.id}: ${node.html.slice(0, 160)} ${node.failureSummary.slice(0, 200)}`));
}"""

_TOO_WIDE = """() => {
    const wide = document.documentElement.scrollWidth;
    const found = wide > innerWidth ? [`the page is ${wide} wide`] : [];
    for (const e of document.querySelectorAll('body *')) {
        const style = getComputedStyle(e);
        if (!e.getClientRects().length || e.closest('.unseen, .skip, audio')) continue;
        const box = e.getBoundingClientRect();
        if (box.right > innerWidth + 1 && !e.closest('.wide-table'))
            found.push(`beyond the edge: ${e.outerHTML.slice(0, 120)}`);
        if (!e.matches('input, select, textarea') && style.overflowX !== 'visible'
            && e.scrollWidth > e.clientWidth + 2 && !e.closest('.wide-table'))
            found.push(`cut off: ${e.outerHTML.slice(0, 120)}`);
    }
    return found;
}"""

_TOO_SMALL = """() => Array.from(document.querySelectorAll('body *')).filter((e) =>
    e.getClientRects().length && parseFloat(getComputedStyle(e).fontSize) < 18)
    .map((e) => `smaller than 18 pixels: ${e.outerHTML.slice(0, 120)}`)"""

# A link in the run of a sentence is excepted by WCAG 2.5.8; a box to tick has its label.
_TARGETS = """() => {
    const found = [];
    for (const e of document.querySelectorAll('a, button, input, select, textarea, summary')) {
        if (!e.getClientRects().length || e.closest('.unseen, .skip')) continue;
        const target = e.closest('label') || e;
        const box = target.getBoundingClientRect();
        const words = Array.from(e.parentElement.childNodes)
            .some((n) => n.nodeType === 3 && n.data.trim());
        if (e.matches('a') && words) continue;
        if (box.width < 24 || box.height < 24)
            found.push(`small target, ${Math.round(box.width)}×${Math.round(box.height)}: `
                + e.outerHTML.slice(0, 120));
    }
    return found;
}"""

_FOCUS = """() => {
    const found = [];
    const ring = (e) => {
        const style = getComputedStyle(e);
        return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
    };
    const all = 'a[href], button, input, select, textarea, summary';
    for (const e of document.querySelectorAll(all)) {
        if (!e.getClientRects().length || e.type === 'hidden' || e.disabled) continue;
        e.focus();
        if (document.activeElement !== e) continue;
        const cell = e.closest('.cell');
        if (!ring(e) && !(cell && ring(cell))) found.push(`no focus: ${e.outerHTML.slice(0, 120)}`);
        const box = e.getBoundingClientRect();
        if (box.bottom < 0 || box.top > innerHeight)
            found.push(`out of sight: ${e.outerHTML.slice(0, 120)}`);
    }
    return found;
}"""


@pytest.fixture(params=[WIDE, NARROW, ZOOMED], ids=["wide", "narrow", "zoomed"])
def filled(request: pytest.FixtureRequest, desks: Desks, browser: Browser) -> Iterator[Filled]:
    """A station at work, and a keeper, who may open every page, at a screen of this size."""
    yield fill(desks, request.param)


def test_every_page_is_accessible_at_every_size(desks: Desks, filled: Filled) -> None:
    faults: list[str] = []
    page = filled.keeper
    every = paths(filled.examples)
    assert len(every) > 25
    for path in every:
        answer = page.goto(f"{desks.address}{path}")
        assert answer is not None and answer.status == (404 if "nowhere" in path else 200), path
        page.evaluate("() => document.querySelectorAll('details').forEach((d) => d.open = true)")
        faults += [f"{path} {fault}" for fault in _looked_at(page)]
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/sign-in")
    faults += [f"/sign-in {fault}" for fault in _looked_at(page)]
    assert not faults, "\n".join(faults)


def _looked_at(page: Page) -> list[str]:
    found: list[str] = []
    page.keyboard.press("Tab")  # from now on the focus is that of a keyboard
    for look in (_FOCUS, _TARGETS, _TOO_WIDE, _TOO_SMALL):
        found += page.evaluate(look)
    # Evaluated by the browser's own tools, so that the page's policy need not allow it.
    page.evaluate(AXE)
    # The schemes differ in colours alone, so that the other rules need not be asked twice.
    found += page.evaluate(_FAULTS, ["day", {"type": "tag", "values": RULES}])
    found += page.evaluate(_FAULTS, ["studio", {"type": "rule", "values": ["color-contrast"]}])
    return found
