"""The rider's pages over HTTP: answers, state in the address, refusals."""

import re
from urllib.parse import urlencode

import pytest
from flask.testing import FlaskClient

TEXT = "rotor rubs once each wheel turn"


def page(client: FlaskClient, path: str, *pairs: tuple[str, str]) -> str:
    response = client.get(f"{path}?{urlencode(pairs)}")
    assert response.status_code == 200, response.text
    return response.text


def test_home_has_one_box(client: FlaskClient) -> None:
    assert page(client, "/").count("<textarea") == 1


def test_an_answer_shows_causes_in_words_and_number_and_the_next_check(client: FlaskClient) -> None:
    text = page(client, "/answer", ("q", "gear slips now and then"))
    assert re.search(r"(probably|possibly|unlikely|certainly), [<>]?\d+%", text)
    assert "Do this next" in text
    assert "ride" in text.lower()


def test_a_reading_entered_moves_into_the_address(client: FlaskClient) -> None:
    pairs = [("q", TEXT), ("check", "rotor-runout"), ("number", "0,6")]
    response = client.get(f"/answer?{urlencode(pairs)}")
    assert response.status_code == 303
    assert "r=rotor-runout:0.6" in response.location.replace("%3A", ":")
    followed = client.get(response.location)
    assert "0.6 mm (bent)" in followed.text


def test_a_stated_reading_can_be_struck_out(client: FlaskClient) -> None:
    text = page(client, "/answer", ("q", "The rotor is 1.62 mm thick and it rubs."))
    assert "1.62 mm" in text
    address = re.search(r'href="(/answer\?[^"]*x=rotor-thickness[^"]*)"', text.replace("&amp;", "&"))
    assert address
    assert "(you wrote" not in client.get(address.group(1)).text


def test_what_no_article_fits_is_said_plainly(client: FlaskClient) -> None:
    assert "None of our articles fits this" in page(client, "/answer", ("q", "lorem ipsum dolor sit amet"))


def test_every_article_and_check_has_a_page_and_every_link_leads_somewhere(client: FlaskClient) -> None:
    index = page(client, "/articles")
    links = sorted(set(re.findall(r'href="(/(?:article|check)/[^"]+)"', index)))
    assert len(links) > 300
    for link in links:
        text = client.get(link)
        assert text.status_code == 200, link
        assert set(re.findall(r'href="(/(?:article|check)/[^"]+)"', text.text)) <= set(links), link


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/article/nope", 404),
        ("/check/nope", 404),
        ("/nope", 404),
        ("/answer?q=x&r=bad", 400),
        ("/answer?q=chain&r=cassette-teeth:purple", 400),
        ("/answer?q=chain&r=no-such-check:even", 404),
        ("/answer?q=chain&skill=wizard", 400),
        ("/answer?q=chain&check=rotor-thickness&number=40", 400),
        ("/answer?q=chain&check=rotor-thickness&number=nan", 400),
        ("/answer?q=" + "x" * 20001, 400),
        ("/answer?q=%00binary", 400),
        ("/article/..%2F..%2Fetc%2Fpasswd", 404),
    ],
)
def test_what_cannot_be_answered_is_refused_with_a_page(path: str, status: int, client: FlaskClient) -> None:
    response = client.get(path)
    assert response.status_code == status
    assert "<h1>" in response.text
    assert "Traceback" not in response.text


def test_markup_in_a_complaint_is_shown_as_text(client: FlaskClient) -> None:
    text = page(client, "/answer", ("q", "<script>alert(1)</script> chain slips under load"))
    assert "<script>" not in text
    assert "&lt;script&gt;" in text


def test_no_script_is_allowed_and_pages_may_not_be_framed(client: FlaskClient) -> None:
    policy = client.get("/").headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy


def test_raw_html_in_an_article_would_be_shown_as_text() -> None:
    from service.markdown import render_markdown

    html = render_markdown("<b>x</b> [a](article:chain-worn) [b](javascript:alert(1))", lambda kind, id: f"/{kind}/{id}")
    assert "<b>" not in html
    assert 'href="/article/chain-worn"' in html
    assert "javascript:" not in html.replace("[b](javascript:alert(1))", "")
