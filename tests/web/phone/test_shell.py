"""The kitchen shell: the same bytes for everybody, whole, small, with a worker that keeps exactly its files."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import re
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from webapp.machine import folders
from webapp.machine.settings import Settings
from webapp.web.app import create_app
from webapp.web.files.script_files import JoinError, in_one, in_order, join, script
from webapp.web.phone.shell import Shell, kitchen_scripts, read_shell, shell

PRECACHE_MOST = 85_000  # bytes compressed
FIRST_VIEW_MOST = 42_000  # a third of it is the present, re-timed with no connection
WHOLE_STEP_MOST = 62_000  # with all that belongs to the step, which is drawn once and whole


@pytest.fixture
def app(tmp_path: Path) -> Flask:
    """The app with an empty database."""
    return create_app(Settings(data=tmp_path))


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """A browser that was never here."""
    return app.test_client()


@pytest.fixture
def kept(app: Flask) -> Shell:
    """The shell as served."""
    with app.app_context():
        return shell()


def listed(client: FlaskClient) -> dict[str, str]:
    """What the worker is told to keep."""
    found = re.search(r"const FILES = (\{.*?\});", client.get("/sw.js").text, re.DOTALL)
    assert found
    files: dict[str, str] = json.loads(found[1])
    return files


def test_every_file_on_the_workers_list_is_served_with_the_digest_it_names(client: FlaskClient) -> None:
    files = listed(client)
    assert {"/kitchen", "/manifest.webmanifest"} < files.keys()
    for url, digest in files.items():
        answer = client.get(url)
        assert answer.status_code == 200, url
        assert base64.b64encode(hashlib.sha256(answer.data).digest()).decode() == digest, url


def test_the_page_names_only_files_that_the_worker_keeps(client: FlaskClient) -> None:
    named = set(re.findall(r'(?:src|href)="(/shell/[^"]+)"', client.get("/kitchen").text))
    assert named
    assert named <= listed(client).keys()


def test_every_import_of_a_kept_script_is_kept(kept: Shell) -> None:
    paths = {one.path for one in kept.files}
    named = {name for one in kept.files for name in re.findall(r"""["']\./([^"'/]+\.js)["']""", one.body.decode())}
    assert named == {"kitchen-first.js", "kitchen-step.js", "kitchen-rest.js"}
    assert {f"js/{name}" for name in named} < paths


def test_every_script_of_the_kitchen_is_in_one_of_three_files_and_the_rest_is_not_waited_for(kept: Shell) -> None:
    texts = {one.path: one.body.decode() for one in kept.files if one.path.startswith("js/kitchen-")}
    folder = folders.static_folder() / "js"
    scripts = kitchen_scripts(folders.static_folder())
    every = "".join(texts.values())
    for one in scripts.values():
        for name in one.declares or ():
            assert re.search(rf"(?:function |class |let |,|;let\{{){re.escape(name)}\b", every), (one.path, name)
    assert {path.parts[-2] for path in map(Path, scripts)} >= {"kitchen", "lib", "now", "sheets", "state", "step"}
    later = set(re.findall(r'import\("./kitchen-rest.js"\).then\(all=>all(\.\$\w+)\)', every))
    assert len(later) > len(list(folder.glob("sheets/*.js")))
    for name in later:
        assert f"let {name[1:]}=(" in texts["js/kitchen-rest.js"], name
    for path in ("js/kitchen-first.js", "js/kitchen-step.js"):
        assert not re.search(r"^import .*kitchen-rest", texts[path], re.MULTILINE)


def test_a_script_becomes_a_function_that_hands_out_what_it_exports() -> None:
    a = script(
        "js/a.js", 'import { c, d as e } from "./b/c.js";\nexport const x = c(e);\nexport { y as z } from "./b/c.js";\n'
    )
    c = script("js/b/c.js", 'export async function c() {}\nconst d = 1, y = 2;\nexport { d, y };\nimport("../e.js");\n')
    e = script("js/e.js", "export class E {}\n")
    every = {one.path: one for one in (a, c, e)}
    assert (a.at_once, c.later) == (("js/b/c.js", "js/b/c.js"), ("js/e.js",))
    assert in_order(every, ["js/a.js"]) == ["js/b/c.js", "js/a.js"]
    files = join(every, {"js/one.js": ["js/b/c.js"], "js/two.js": ["js/a.js", "js/e.js"]})
    assert files["js/one.js"].splitlines() == [
        "const $0=(()=>{",
        "async function c() {}",
        "const d = 1, y = 2;",
        "",
        'import("./two.js").then((all)=>all.$2);',
        "return {d:d,y:y,c}})();",
        "export {$0};",
    ]
    assert files["js/two.js"].splitlines() == [
        'import {$0} from "./one.js";',
        "const $1=(()=>{",
        "const{c,d:e}=$0;",
        "const x = c(e);",
        "",
        "return {z:$0.y,x}})();",
        "const $2=(()=>{",
        "class E {}",
        "return {E}})();",
        "export {$2};",  # nobody asks for the other one
    ]


def test_a_script_whose_names_nobody_else_has_stands_as_it_is_and_any_other_in_a_function_of_its_own() -> None:
    texts = {
        "a": "const mine = 1;\nexport function given() {\n  const same = mine;\n  return same;\n}\n",
        "b": "const same = 1;\nexport const other = same;\n",  # its name would be seen by the next one
        "c": "const same = 2;\nexport const third = same;\n",
        "d": "const given = 1;\nexport const fourth = given;\n",  # another one hands out that name
        "e": "const open = 1;\nexport const fifth = open;\n",  # a browser has it
        "f": 'import { given as mine } from "./a.js";\nmine();\n',  # called otherwise here: nobody else may see that
        "g": "const [one, two] = [1, 2];\nexport const sixth = one + two;\n",  # names that are not looked for
    }
    every = {f"js/{name}.js": script(f"js/{name}.js", text, text) for name, text in texts.items()}
    said = join(every, {"js/all.js": list(every)})["js/all.js"]
    in_functions = re.findall(r"\(\(\)=>\{\n(.*)\n", said)
    assert in_functions == [
        "const same = 2;",
        "const given = 1;",
        "const open = 1;",
        "const mine=given;",
        "const [one, two] = [1, 2];",
    ]
    assert said.startswith(texts["a"].replace("export ", ""))


def test_in_one_file_a_script_that_is_imported_later_comes_from_the_file_itself() -> None:
    a = script("js/a.js", 'import { b } from "./b.js";\nb(import("./c.js"));\n')
    b, c = script("js/b.js", "export const b = 1;\n"), script("js/c.js", "export const c = 2;\n")
    every = {one.path: one for one in (a, b, c, script("js/e.js", 'import("./b.js");\n'))}
    assert in_one(every, ["js/a.js"], "js/all.js").splitlines() == [
        "const b=(()=>{",
        "const b = 1;",
        "return b})();",
        "(()=>{",
        "",
        'b(import("./all.js").then((all)=>all.$2));',
        "})();",
        "const $2=(()=>{",
        "const c = 2;",
        "return {c}})();",
        "export {$2};",
    ]


def test_what_a_script_hands_out_has_its_own_name_where_no_other_and_no_browser_has_one_of_that_name() -> None:
    texts = {
        "a": "export const a1 = 1;\nexport function a2() {}\n",
        "b": "export const open = 1;\n",
        "c": "export const same = 1;\n",
        "d": "export const same = 2;\n",
        "e": 'import { a1, a2 as a3 } from "./a.js";\nimport { open } from "./b.js";\nimport { same } from "./d.js";\n'
        "open(a1, a3, same);\n",
    }
    every = {f"js/{name}.js": script(f"js/{name}.js", text) for name, text in texts.items()}
    assert join(every, {"js/one.js": [f"js/{name}.js" for name in "abcd"], "js/two.js": ["js/e.js"]}) == {
        "js/one.js": (
            "const{a1,a2}=(()=>{\nconst a1 = 1;\nfunction a2() {}\nreturn {a1,a2}})();\n"
            "const $1=(()=>{\nconst open = 1;\nreturn {open}})();\n"
            "const $2=(()=>{\nconst same = 1;\nreturn {same}})();\n"
            "const $3=(()=>{\nconst same = 2;\nreturn {same}})();\n"
            "export {a1,a2,$1,$3};\n"
        ),
        "js/two.js": (
            'import {$1,$3,a1,a2} from "./one.js";\n'
            "(()=>{\nconst a3=a2;\nconst{open}=$1;\nconst{same}=$3;\nopen(a1, a3, same);\n})();\n"
            "export {};\n"
        ),
    }


@pytest.mark.parametrize(
    "text",
    ["export default 1;\n", "export let a = 1;\n", 'import * as a from "./b.js";\n', 'import "./b.js";\n',
     'export * from "./b.js";\n'],
)  # fmt: skip
def test_a_form_that_cannot_be_joined_is_refused_by_name(text: str) -> None:
    every = {"js/a.js": script("js/a.js", text)}
    with pytest.raises(JoinError, match=r"^js/a\.js: '(import|export)"):
        join(every, {"js/one.js": ["js/a.js"]})


def test_scripts_that_import_each_other_are_refused() -> None:
    every = {
        f"js/{one}.js": script(f"js/{one}.js", f'import {{ x }} from "./{two}.js";\n') for one, two in ("ab", "ba")
    }
    with pytest.raises(JoinError, match=r"js/a\.js imports itself"):
        in_order(every, ["js/a.js"])


def test_files_joined_from_one_folder_may_not_lie_in_two() -> None:
    every = {"js/a.js": script("js/a.js", 'import { x } from "./b.js";\n'), "js/b.js": script("js/b.js", "")}
    with pytest.raises(JoinError, match="two folders"):
        join(every, {"js/one.js": ["js/b.js"], "js/deep/two.js": ["js/a.js"]})


@pytest.mark.parametrize("path", ["/kitchen", "/sw.js", "/manifest.webmanifest", "/favicon.ico"])
def test_the_shell_makes_no_kitchen_and_leaves_no_cookie(client: FlaskClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 200
    assert "Set-Cookie" not in answer.headers


def test_the_shell_holds_no_token_and_does_not_change_with_who_asks(client: FlaskClient) -> None:
    before = client.get("/kitchen").data
    client.get("/")
    assert client.get("/kitchen").data == before
    assert b"csrf" not in before


def test_the_whole_shell_and_its_first_view_are_small(client: FlaskClient, kept: Shell) -> None:
    pytest.importorskip("brotli")  # a worker lives on encrypted connections alone, where every browser takes it
    page = len(client.get("/kitchen", headers={"Accept-Encoding": "gzip, br"}).data)
    sizes = {one.path: one.packed.smallest for one in kept.files}
    assert page + sum(sizes.values()) < PRECACHE_MOST
    waited_for = set(re.findall(r"/shell/[^/]+/([^\"]+\.css)\">", client.get("/kitchen").text))
    assert waited_for
    first = [path for path in sizes if path in waited_for or path in ("js/kitchen-first.js", "js/pages/guard.js")]
    assert page + sum(sizes[path] for path in first) < FIRST_VIEW_MOST
    whole = {*first, "js/kitchen-step.js"}
    assert whole < sizes.keys()
    assert page + sum(sizes[path] for path in whole) < WHOLE_STEP_MOST


def test_files_come_compressed_and_for_ever_and_the_page_does_not(client: FlaskClient, kept: Shell) -> None:
    url = f"/shell/{kept.version}/css/kitchen.css"
    packed = client.get(url, headers={"Accept-Encoding": "gzip"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.data) == client.get(url).data
    brotli = pytest.importorskip("brotli")
    smaller = client.get(url, headers={"Accept-Encoding": "gzip, deflate, br"})
    assert smaller.headers["Content-Encoding"] == "br"
    assert brotli.decompress(smaller.data) == client.get(url).data
    assert len(smaller.data) < len(packed.data)
    assert smaller.headers["Vary"] == "Accept-Encoding"
    assert "immutable" in packed.headers["Cache-Control"]
    for path in ("/kitchen", "/sw.js"):
        assert client.get(path).headers["Cache-Control"] == "no-cache"


def test_what_has_not_changed_is_not_sent_again(client: FlaskClient) -> None:
    tag = client.get("/kitchen").headers["ETag"]
    assert client.get("/kitchen", headers={"If-None-Match": tag}).status_code == 304


@pytest.mark.parametrize("path", ["/shell/another/css/base.css", "/shell/{v}/css/plan.css", "/shell/{v}/../sw.js"])
def test_files_of_another_version_or_outside_of_the_shell_are_not_here(
    client: FlaskClient, kept: Shell, path: str
) -> None:
    assert client.get(path.format(v=kept.version)).status_code == 404


def test_a_change_in_any_file_is_another_version(tmp_path: Path) -> None:
    static, templates = tmp_path / "static", tmp_path / "templates"
    for name in ("css/base.css", "css/chart.css", "css/kitchen.css", "icons/mark.svg", "sw.js", "js/pages/guard.js"):
        (static / name).parent.mkdir(parents=True, exist_ok=True)
        (static / name).write_text("/* */\n", encoding="utf-8")
    (static / "js/kitchen").mkdir(parents=True)
    (static / "js/kitchen/kitchen.js").write_text(
        'import { a } from "./a.js";\nimport("./b.js");\nimport("./more.js");\n', encoding="utf-8"
    )
    (static / "js/kitchen/more.js").write_text('import { c } from "./a.js";\n', encoding="utf-8")
    (static / "js/kitchen/a.js").write_text("export const a = 1;\n", encoding="utf-8")
    (static / "js/kitchen/b.js").write_text("export const b = 1;\n", encoding="utf-8")
    for name in ("phone/kitchen.html", "parts/icons.html"):
        (templates / name).parent.mkdir(parents=True, exist_ok=True)
        (templates / name).write_text("x", encoding="utf-8")
    first = read_shell(static, templates)
    assert {"js/kitchen-first.js", "js/kitchen-step.js", "js/kitchen-rest.js"} < {one.path for one in first.files}
    versions = {first.version}
    for path in (
        static / "js/kitchen/b.js",
        static / "sw.js",
        templates / "phone/kitchen.html",
        static / "css/base.css",
    ):
        path.write_text(path.read_text(encoding="utf-8") + "more {}\n", encoding="utf-8")
        versions.add(read_shell(static, templates).version)
    assert len(versions) == 5


def test_the_manifest_names_icons_that_exist_in_their_sizes(client: FlaskClient) -> None:
    about = json.loads(client.get("/manifest.webmanifest").data)
    assert about["start_url"] == "/kitchen"
    for icon in about["icons"]:
        with client.get(icon["src"]) as answer:
            assert answer.status_code == 200
            if icon["type"] == "image/png":
                wide = int.from_bytes(answer.data[16:20], "big")  # PNG, IHDR (W3C PNG specification, 11.2.1)
                assert icon["sizes"] == f"{wide}x{wide}"
