"""The description of the server: well formed by an outside reader, and what the server really answers."""

import jsonschema
import pytest
from openapi_spec_validator import validate

from tendline.jobs.serve import Desk
from tendline.server.app import make_app
from tendline.server.desk_asks import ASKS
from tendline.server.guard import Guard
from tendline.server.openapi import openapi_document
from tendline.server.works_list import LONG
from tests.asgi import Browser
from tests.interfaces.server.test_app import HERE, OURS, PAGES
from tests.interfaces.server.test_desk import browser, desk  # noqa: F401 - fixtures

DOCUMENT = openapi_document()


def test_the_description_is_openapi() -> None:
    """Read by openapi-spec-validator, against the schema of OpenAPI 3.1."""
    validate(DOCUMENT)


def test_every_name_is_there_once() -> None:
    assert len({ask.name for ask in ASKS}) == len(ASKS)
    begun = DOCUMENT["paths"]["/api/desk/work-begin"]["post"]["requestBody"]["content"]["application/json"][
        "schema"
    ]
    assert {one["properties"]["job"]["const"] for one in begun["oneOf"]} == set(LONG)


@pytest.mark.parametrize("name", [ask.name for ask in ASKS if not ask.needs and ask.gives is not None])
def test_an_answer_is_as_described(name: str, browser: Browser) -> None:  # noqa: F811
    """Every ask that needs nothing is asked; it answers in its shape, or with faults."""
    operation = DOCUMENT["paths"][f"/api/desk/{name}"]["post"]
    answer = browser.post(f"/api/desk/{name}", json={})
    if answer.status_code == 200:
        shape = operation["responses"]["200"]["content"]["application/json"]["schema"]
    else:
        assert answer.status_code == 400
        shape = DOCUMENT["components"]["schemas"]["Faults"]
    jsonschema.Draft202012Validator({**shape, "components": DOCUMENT["components"]}).validate(answer.json())


@pytest.mark.parametrize("path", sorted(DOCUMENT["paths"]))
def test_nobody_gets_in_where_a_key_is_asked_for(path: str, desk: Desk) -> None:  # noqa: F811
    stranger = Browser(Guard(make_app(desk, PAGES), ("localhost",)), base_url=HERE)
    for method, operation in DOCUMENT["paths"][path].items():
        if method != "parameters" and "security" in operation:
            answer = stranger.request(
                method.upper(), path.replace("{sha256}", "0" * 64), headers=OURS, content="{}"
            )
            assert answer.status_code == 401
            jsonschema.validate(answer.json(), DOCUMENT["components"]["schemas"]["Faults"])
