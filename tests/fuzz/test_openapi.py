"""Tests that whatever is made up from the program's own description of its addresses, none ends in an error."""

import json
import os
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings

from tests.fuzz.crawler import Form
from tests.fuzz.ground import CHIEF, Ground

MOST = int(os.environ.get("WEARBOOK_TEST_EXAMPLES", "1"))  # of each operation
# What stands in the book, so that not every made-up address leads nowhere.
KNOWN: dict[str, list[object]] = {
    "tag": ["GA-1", "GA-9"], "overhaul_id": [1, 2, 3, 4, 5], "person_id": [1, 3], "run_id": [1], "draft_id": [1],
    "number": [1, 2, 3], "seq": [1, 7], "ref": ["2.pin", "2.ring-1", "2.ring-set"],
    "characteristic": ["diameter", "seen"], "key": ["ring", "oil-level"], "name": ["QM-GA", "safe", "box-up", "prove"],
    "revision": ["C"], "base": ["gauge", "fit"], "kind": ["line"], "form": ["csv"], "reading_id": [1, 2],
    "token_id": [1, 2],
}  # fmt: skip


def described(ground: Ground, forms: list[tuple[str, Form]]) -> dict[str, Any]:
    """The program's description, with what stands in the book, and with the fields of the forms that its pages show."""
    description = json.loads(json.dumps(ground.shop.app.openapi()))
    fields: dict[str, set[str]] = {}
    for route, form in forms:
        fields.setdefault(route, set()).update(form.fields)
    for path, operations in description["paths"].items():
        for operation in operations.values():
            for parameter in operation.get("parameters", []):
                known = KNOWN.get(parameter["name"], []) if parameter["in"] == "path" else []
                parameter["schema"] = (
                    {"anyOf": [{"enum": known}, parameter["schema"]]} if known else parameter["schema"]
                )
        if "post" in operations:
            described_fields = {name: {"type": "string"} for name in sorted(fields.get(_route(ground, path), ()))}
            form = {"schema": {"type": "object", "properties": described_fields}}
            operations["post"]["requestBody"] = {"content": {"application/x-www-form-urlencoded": form}}
    return description


def _route(ground: Ground, path: str) -> str:
    """The route as its own file writes it; a description leaves out which words a part of it may be."""
    return next((route for _, _, route in ground.routes if route.replace(":step_list", "") == path), path)


def operations_of(description: dict[str, Any]) -> list[Any]:
    """Every operation that the description names."""
    import schemathesis  # heavy, and only here

    schema = schemathesis.openapi.from_dict(description)
    return [found.ok() for found in schema.get_all_operations()]


def test_nothing_made_up_from_the_description_of_the_program_ends_in_an_error(
    ground: Ground, forms: list[tuple[str, Form]]
) -> None:
    operations = operations_of(described(ground, forms))
    faults, answers = [], set()

    def shoot(case: Any) -> None:
        sent = case.as_transport_kwargs(base_url="http://testserver")
        url = sent["url"].removeprefix("http://testserver")
        fields = {**sent.get("data", {}), "csrf": ground.visitors[CHIEF].csrf} if case.method == "POST" else None
        headers = {name: value for name, value in sent["headers"].items() if name != "Accept-Encoding"}
        answer = ground.send(CHIEF, case.method, url, params=sent["params"], data=fields, headers=headers)
        answers.add(answer.status_code)
        if answer.status_code >= 500 or "Traceback" in answer.text:
            faults.append(f"{answer.status_code}: {case.method} {url} {sent['params']!r:.200} {fields!r:.300}")
        ground.has_entered()

    for operation in operations:
        hunt = given(operation.as_strategy())(shoot)
        seed(6)(
            settings(max_examples=MOST, database=None, phases=[Phase.generate], suppress_health_check=[*HealthCheck])(
                hunt
            )
        )()

    assert len(operations) == sum(map(len, ground.shop.app.openapi()["paths"].values()))
    assert faults == []
    assert answers >= {200, 303, 404, 422}
