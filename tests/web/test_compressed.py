"""Style sheets and scripts of the pages: one round trip the first time, none after that, and never an old one."""

from __future__ import annotations

import gzip
import re
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.web.conftest import Clock, InKitchen
from tests.web.plan.test_bake_pages import PAGES
from webapp.machine import folders
from webapp.machine.settings import Settings
from webapp.web.app import create_app
from webapp.web.files.compressed import closed_up, lean

STATIC = folders.static_folder()
BAKE_MOST = 30_000  # bytes of a bake’s page with all that it waits for
FIRST_VIEW_MOST = 14 * 1024  # bytes: ten segments of 1,460 bytes, which is what a server sends at once (RFC 6928)
MORE_PAGES = (
    "/larder/toppings", "/larder/toppings/new", "/larder/methods", "/larder/methods/new", "/settings/oven", "/more",
    "/settings/busy", "/test-glass", "/reminders", "/no-such-page",
)  # fmt: skip
PACKED = {"Accept-Encoding": "gzip"}


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """A browser that was never here."""
    return app.test_client()


def asked_for(page: str) -> list[str]:
    """Addresses of the style sheets and scripts that a page waits for."""
    return re.findall(r'<(?:link rel="stylesheet"|script type="module") (?:href|src)="([^"]+)"', page)


def test_the_first_view_of_the_home_page_comes_in_one_round_trip(settings: Settings, clock: Clock) -> None:
    phone = create_app(settings, now=clock).test_client()  # with the planner itself, by somebody who was never here
    page = phone.get("/", headers=PACKED)
    sent = [page, *(phone.get(url, headers=PACKED) for url in asked_for(phone.get("/").text))]
    assert len(sent) == 3, "the page, its style sheet, its script"
    assert {one.headers["Content-Encoding"] for one in sent} == {"gzip"}
    assert sum(len(one.data) for one in sent) < FIRST_VIEW_MOST


def test_the_first_view_of_a_bake_is_thirty_thousand_bytes_at_most(kitchen: InKitchen) -> None:
    pytest.importorskip("brotli")  # which every browser of today takes
    path, takes = f"/bakes/{kitchen.has_a_bake()}", {"Accept-Encoding": "gzip, deflate, br"}
    sent = [kitchen.get(path, headers=takes)]
    sent += [kitchen.get(url, headers=takes) for url in (*asked_for(kitchen.get(path).text), "/static/icons/mark.svg")]
    assert [one.headers["Content-Encoding"] for one in sent] == ["br", "br", "br", "gzip"]
    assert sum(len(one.data) for one in sent) < BAKE_MOST


def test_a_page_is_packed_as_the_one_who_asks_takes_it_and_its_length_tells_nothing_of_what_is_in_it(
    client: FlaskClient,
) -> None:
    brotli = pytest.importorskip("brotli")
    assert "Content-Encoding" not in client.get("/more").headers
    plain, sent = (
        client.get("/more").data,
        [client.get("/more", headers={"Accept-Encoding": "br, gzip"}) for _ in range(40)],
    )
    assert {one.headers["Content-Encoding"] for one in sent} == {"br"}
    assert {one.headers["Vary"] for one in sent} == {client.get("/more").headers["Vary"]}
    assert len({len(one.data) for one in sent}) > 10, "the same page, so that no two lengths can be compared"
    for one in sent:
        page, _, hiding = brotli.decompress(one.data).decode().rpartition("<!--")
        assert re.fullmatch(r" (?:[0-9a-f]{2})* -->", hiding)
        assert page.rstrip().endswith("</html>")
        assert len(page) == len(plain.decode())
    assert client.get("/more", headers={"Accept-Encoding": "gzip, br;q=0"}).headers["Content-Encoding"] == "gzip"


def test_what_a_page_asks_for_is_kept_for_ever_by_its_contents(kitchen: InKitchen, client: FlaskClient) -> None:
    for path in (*PAGES, *MORE_PAGES):
        urls = asked_for(kitchen.get(path).text)
        assert [url.rsplit(".", 1)[1] for url in urls] == ["css", "js"], f"{path}: one sheet, one script"
        for url in urls:
            answer = client.get(url, headers=PACKED)
            assert answer.status_code == 200, url
            assert "immutable" in answer.headers["Cache-Control"]
            assert gzip.decompress(answer.data) == client.get(url).data
            assert client.get(re.sub("/files/[^/]+/", "/files/0123456789ab/", url)).status_code == 404


@pytest.mark.parametrize("names", ["base+nothing", "", "..", "base+../icons/mark"])
def test_a_sheet_that_is_not_there_is_not_found(client: FlaskClient, names: str) -> None:
    assert client.get(f"/files/0123456789ab/{names}.css").status_code == 404


@pytest.mark.parametrize("names", ["pages.nothing", "", "..", "pages.unsent+pages.unsent", "...settings", "sw"])
def test_a_script_that_is_not_there_or_is_named_twice_is_not_found(client: FlaskClient, names: str) -> None:
    assert client.get(f"/files/0123456789ab/js/{names}.js").status_code == 404


def test_a_page_has_its_scripts_with_all_that_they_import_each_once_and_what_is_imported_later_behind_them(
    client: FlaskClient, kitchen: InKitchen
) -> None:
    (url,) = [url for url in asked_for(kitchen.get("/").text) if ".js" in url]
    assert url.endswith("/js/pages.tonight+pages.unsent.js")
    text = client.get(url).text
    places = [text.index(words) for words in ('getElementById("tonight")', "The server does not answer", "[data-zone]")]
    assert places == sorted(places)
    assert text.count("The server does not answer, so nothing was sent.") == 1
    assert set(re.findall(r'import\("([^"]+)"\)', text)) == {"./pages.tonight+pages.unsent.js"}, "none but itself"


def test_a_page_has_its_sheets_in_their_order_and_paper_last(kitchen: InKitchen, client: FlaskClient) -> None:
    (url,) = [url for url in asked_for(kitchen.get("/week").text) if ".css" in url]
    text = client.get(url).text
    parts = [lean((STATIC / f"css/{name}.css").read_text(encoding="utf-8"), ".css")
             for name in ("base", "pages", "chart", "answers", "plan")]  # fmt: skip
    assert text.startswith("".join(parts))
    assert text.removeprefix("".join(parts)).startswith("@media print{")


def test_while_it_is_worked_on_a_changed_file_has_another_address(app: Flask, tmp_path: Path, client: FlaskClient,
                                                                  monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    for name in ("css/base.css", "css/pages.css", "css/chart.css", "css/print.css", "js/pages/a.js"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("/* */ a { top: 0; }\n", encoding="utf-8")
    monkeypatch.setattr("webapp.machine.folders.static_folder", lambda: tmp_path)
    app.debug = True
    before = asked_for(client.get("/no-such-page").text)
    (tmp_path / "css/base.css").write_text("a { top: 1px; }\n", encoding="utf-8")
    after = asked_for(client.get("/no-such-page").text)
    assert before != after
    assert "top:1px" in client.get(after[0]).text


def test_lean_files_lose_only_comments_and_room() -> None:
    assert lean("// why\n  const a = 'http://x'; // gone\n\n", ".js") == "const a='http://x';\n"
    kept = "const a = \"b; // c\";\nconst d = `e, // f`;\nconst g = 'h( // i'; // it’s\nconst url = /\\/\\//;\n"
    assert lean(kept, ".js").count("//") == kept.replace("; // it’s", ";").count("//")
    said = "const f = ({ a }, b = 1) => {\n  g(\n    a, // 'tis,\n    `{ a } = b`, a === b, '{ x => }',\n  );\n};\n"
    assert lean(said, ".js") == "const f=({a},b=1)=>{\ng(\na,// 'tis,\n`{ a } = b`,a===b,'{ x => }',\n);\n};\n"
    assert lean("d = a - b + 'c - d' - -e + +f + g++ + h;\n", ".js") == "d=a-b+'c - d' - -e + +f+g++ + h;\n"
    assert lean("a += 1;\nb -= 'a += 1';\n", ".js") == "a+=1;\nb-='a += 1';\n"
    assert lean("if (a) g('if (b)'); else if (d) gif (c);\n", ".js") == "if(a) g('if (b)');else if(d) gif (c);\n"
    words = "if (a) {\n  return (b) ? `if (c: d)` : { 'e: f': g, h: await (async () => i)() };\n}\nelseif (j);\n"
    assert lean(words, ".js") == "if(a){\nreturn(b)?`if (c: d)`:{'e: f': g,h:await(async()=>i)()};\n}\nelseif (j);\n"
    assert lean("a = b / c % d * e;\nreturn 'g / h';\n", ".js") == "a=b/c%d*e;\nreturn 'g / h';\n"
    css = "/* index\n of all */\n.a :is(b, i):hover { top: 0; margin: 0 auto; }\n"
    assert lean(css, ".css") == ".a :is(b,i):hover{top:0;margin:0 auto;}\n"
    assert lean("<svg>\n  <!-- // -->\n</svg>", ".svg") == "<svg>\n<!-- // -->\n</svg>\n"


def test_a_line_break_goes_only_where_the_next_line_cannot_be_meant_otherwise() -> None:
    """By the rules of automatic semicolons (ECMA-262, 12.10): none is needed after what a line ends with here, one is
    put in before a closing brace; and a comma at the end of a list or a call adds nothing to it (13.2.4, 13.3.8)."""
    assert closed_up("const a = [\n1,\n2,\n];\nf(\na,\n);\nif (a) {\nb();\n}\nc()\nd();\n") == (
        "let a = [1,2];f(a);if (a) {b()}c()\nd();"
    )
    assert closed_up("a\n.b()\n.c();\n") == "a.b().c();", "no statement begins with a point (12.10)"
    assert closed_up("{\na()\n}\nb // c\n}\n") == "{a()}b // c\n}"
    assert closed_up("a(); // it’s so;\nb\n") == "a(); // it’s so;\nb\n"


def test_names_that_are_given_one_after_the_other_are_one_statement() -> None:
    """By ECMA-262, 14.3.1: a list of bindings is worked out from left to right, as statements are. What begins on a
    line and ends on another is not gone on with: what lies between them is not looked into."""
    script = "const a = 1;\nconst{b}=f(a);\nlet c;\nconst d=()=>{\nlet e = 'x;';\ng(e);\nlet h = e;\n};\nlet i;\n"
    assert closed_up(script) == "let a = 1,{b}=f(a),c,d=()=>{let e = 'x;';g(e);let h = e};let i;"
    assert closed_up('let a = "//";\nlet b;\n') == 'let a = "//";\nlet b;'
    assert closed_up("const a = f(\nb);\nconst c = 1;\nletter = 2;\n") == "let a = f(b);let c = 1;letter = 2;"


def test_what_is_worked_out_in_a_text_loses_its_room_and_the_text_keeps_its_own() -> None:
    """ECMA-262, 12.9.6: what stands in ${} is an expression like any other."""
    assert lean("a = `b = ${c ? 'd : e' : f(g, h)} : i ${`j ? ${k}` || l}`;\n", ".js") == (
        "a=`b = ${c?'d : e':f(g,h)} : i ${`j ? ${k}` || l}`;\n"
    )


def test_truth_is_sent_as_what_is_not_nothing() -> None:
    """ECMA-262, 13.5.7: the opposite of 0 is true, of 1 false; a name, a key and a text stay what they are."""
    assert closed_up("f(true,{a:false},'true',is.true,trues);\n") == "f(!0,{a:!1},'true',is.true,trues);"


def test_what_a_short_function_is_given_stands_bare_where_it_is_one_thing() -> None:
    """ECMA-262, 15.3: ArrowParameters is a BindingIdentifier or what stands in brackets; after `async` they stay."""
    assert closed_up("f((a)=>b,(a,b)=>c,async(a)=>b);\n") == "f(a=>b,(a,b)=>c,async(a)=>b);"


def test_what_never_changes_is_sent_under_the_shorter_word_and_no_text_is_touched() -> None:
    """A `let` that is written once is a `const` (ECMA-262, 14.3.1); within a text nothing is changed."""
    script = 'for (const{a} of b){c()}\nconst d=()=>{const [e]=f;return "const g, a const h"};\n'
    assert closed_up(script) == 'for (let{a} of b){c()}let d=()=>{let [e]=f;return "const g, a const h"};'


@pytest.mark.parametrize("path", sorted(STATIC.rglob("js/**/*.js")), ids=lambda path: path.name)
def test_no_script_has_a_text_over_several_lines_that_leanness_would_spoil(path: Path) -> None:
    for line in path.read_text(encoding="utf-8").splitlines():
        assert line.count("`") % 2 == 0, line
        assert "/*" not in line.replace("/**", "")


@pytest.mark.parametrize("path", sorted(STATIC.glob("css/*.css")), ids=lambda path: path.name)
def test_no_style_sheet_has_a_text_that_leanness_would_spoil(path: Path) -> None:
    texts = re.findall(r""""([^"]*)"|url\(([^)]*)\)""", path.read_text(encoding="utf-8"))
    assert not [text for pair in texts for text in pair if re.search(r"[{};,:]", text)]


def test_room_inside_a_text_within_a_text_stays() -> None:
    line = (
        'return `${n === 1 ? "One entry waits" : `${n} entries wait`} in this phone: ${[{ a }].map(f)} = so => much`;'
    )
    assert lean(f"  {line}  // why\n", ".js") == f"{line}\n"
