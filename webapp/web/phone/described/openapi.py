"""The JSON API as an OpenAPI 3.1 description, made from the app's own addresses and what is said at their views."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterable, Mapping
from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.common import make_schema_key
from marshmallow import Schema, fields

from webapp.web.door import COOKIE, SAFE_COOKIE
from webapp.web.phone.described.route import Address, Failure, Route, route_of
from webapp.web.phone.described.strict import NAME_LENGTH

_KITCHEN = ("kitchen", "kitchenOverHttps")  # the one cookie, by its two names
_ALWAYS = {  # what can happen to any request, before its view is asked
    421: "The server does not go by the name in the Host header.",
    429: "Too many of these from one address.",
    500: "A fault of the server; its log says why.",
    503: "The database cannot be used, or too many ask at once. Retry-After says when to try again.",
}
_FAILS = _ALWAYS | {
    400: "The request cannot be read.",
    401: "No kitchen is known by the cookie that was sent, if any.",
    403: "It does not come from a page of this server, as the browser says in Sec-Fetch-Site or Origin.",
    404: "There is no such thing in this kitchen.",
    408: "The body took too long to arrive.",
    413: "The body is larger than the server takes.",
    415: "The body is not application/json.",
    422: "The body can be read and is not what this address takes; each mistake is named by its path.",
}
_PART = re.compile(r"<(?:\w+:)?(\w+)>")  # of a pattern: what is different from address to address
_OF_CHANGES = (403, 408, 413, 415)


def openapi(addresses: Iterable[Address]) -> dict[str, Any]:
    """The description of those at whose views something is said, as plain values for `json.dumps`."""
    plugin = MarshmallowPlugin(schema_name_resolver=_named)
    spec = APISpec("Suppertide", "1", "3.1.0", plugins=[plugin], info={"description": _ABOUT})
    plugin.converter.add_attribute_function(_names)  # type: ignore[union-attr]  # made with the spec
    for name, cookie in zip(_KITCHEN, (COOKIE, SAFE_COOKIE), strict=True):
        spec.components.security_scheme(name, {"type": "apiKey", "in": "cookie", "name": cookie})
    paths: dict[str, dict[str, Any]] = {}
    for one in sorted(addresses, key=lambda one: one.pattern):
        route = route_of(one.view)
        if route:
            _name_alternatives(spec, plugin, route)
            for method in sorted(one.methods & {"GET", "POST"}):
                path = paths.setdefault(_PART.sub(r"{\1}", one.pattern), {})
                path[method.lower()] = _operation(one, route)
    for address, operations in paths.items():
        spec.path(address, operations=operations)
    return dict(spec.to_dict())


_ABOUT = (
    "What the kitchen screen asks its server. It is made for the app's own pages: a change is taken from a page of the "
    "same server only, and a kitchen is known by the cookie that the first thing saved in it sets. Instants are whole "
    "seconds since 1970 in UTC, without leap seconds."
)


def _operation(one: Address, route: Route) -> dict[str, Any]:
    fails = {*_ALWAYS, *route.fails, *(() if route.for_anybody else (401,)), *(_OF_CHANGES if route.takes else ())}
    failed = {status: (*((route.also[status],) if status in route.also else ()), Failure) for status in sorted(fails)}
    parts = [_in_path(name) for name in sorted(_PART.findall(one.pattern))]
    said: dict[str, Any] = {
        "operationId": one.name.replace(".", "_"),
        "summary": (inspect.getdoc(one.view) or "").partition("\n")[0],
        "parameters": [*parts, *([_FROM_US] if route.takes else [])],
        "security": [] if route.for_anybody else [{name: []} for name in _KITCHEN],
        "responses": {"200": _answer("What was asked for.", route.gives)}
        | {str(status): _answer(_FAILS[status], *schemas) for status, schemas in failed.items()},
    }
    if route.takes:
        said["requestBody"] = {"required": True, "content": {"application/json": {"schema": route.takes}}}
    return said


def _answer(words: str, *schemas: type[Schema]) -> Mapping[str, Any]:
    return {"description": words, "content": {"application/json": {"schema": _any_of(schemas)}}}


def _any_of(schemas: tuple[type[Schema], ...]) -> Any:
    return schemas[0] if len(schemas) == 1 else {"anyOf": list(schemas)}


def _in_path(name: str) -> Mapping[str, Any]:
    return {"name": name, "in": "path", "required": True, "schema": {"type": "string", "minLength": 1}}


_FROM_US = {
    "name": "Sec-Fetch-Site",
    "in": "header",
    "required": True,
    "description": "Set by the browser itself. Where it sets none (plain http in a home network), Origin is asked.",
    "schema": {"type": "string", "enum": ["same-origin"]},
}


def _name_alternatives(spec: APISpec, plugin: MarshmallowPlugin, route: Route) -> None:
    for schema, each in route.one_of.items():
        name = schema.__name__
        plugin.converter.refs[make_schema_key(schema())] = name  # type: ignore[union-attr]  # made with the spec
        spec.components.schema(name, {"oneOf": [{"$ref": f"#/components/schemas/{one.__name__}"} for one in each]})
        for one in each:
            spec.components.schema(one.__name__, schema=one)


def _names(_: object, field: fields.Field[Any], **__: object) -> dict[str, Any]:
    """How long the names in a group may be: JSON Schema can say it, and marshmallow's checks do not tell it."""
    most = field.metadata.get(NAME_LENGTH)
    return {"propertyNames": {"maxLength": most}} if most else {}


def _named(schema: Any) -> Any:
    """The name under which a schema is listed; None for one without a name, which stands where it is used."""
    name = (schema if isinstance(schema, type) else type(schema)).__name__
    return None if name == "GeneratedSchema" else str(name)
