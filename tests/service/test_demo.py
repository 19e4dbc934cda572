"""The demo inbox is made of sound messages, holds the kinds it claims to hold, and names nobody that exists."""

import re
from collections import Counter
from datetime import UTC, datetime, timedelta
from email import message_from_bytes, policy
from email.message import EmailMessage
from email.utils import parsedate_to_datetime
from importlib.resources import files
from pathlib import Path

import pytest

import articles

DEMO = files("service.demo")
RAW = {f.name: f.read_bytes() for f in DEMO.joinpath("inbox").iterdir()}
NAMES = sorted(RAW)
SCENARIO = DEMO.joinpath("scenario.md").read_text(encoding="utf-8")
CUT_OFF = "35-mudguard-rub.eml"
EMPTY = "20-no-text-at-all.eml"

every_message = pytest.mark.parametrize("name", NAMES)


def parsed(name: str) -> EmailMessage:
    return message_from_bytes(RAW[name], policy=policy.default)


def body(name: str) -> str:
    """Return the text a reader sees, with plain line ends."""
    part = parsed(name).get_body(("plain", "html"))
    assert part is not None
    content = part.get_content()
    assert isinstance(content, str)
    return content.replace("\r\n", "\n")


def defects(message: EmailMessage) -> list[str]:
    """Return the kinds of all defects, of the parts as well as of the headers."""
    found = [type(d).__name__ for part in message.walk() for d in part.defects]
    headers = [value for part in message.walk() for value in part.values()]
    return found + [type(d).__name__ for value in headers for d in value.defects]


def text_of(name: str) -> str:
    """Return all decoded headers and text parts of a message."""
    message = parsed(name)
    headers = [f"{key}: {value}" for key, value in message.items()]
    texts = [part.get_content() for part in message.walk() if part.get_content_maintype() == "text"]
    return "\n".join(headers + texts)


def rows() -> dict[str, list[str]]:
    """Return the rows of the scenario's table, cells by number."""
    lines = [line.strip("| ").split(" | ") for line in SCENARIO.splitlines() if re.match(r"\| \d\d \|", line)]
    return {cells[0]: cells for cells in lines}


def test_there_are_forty_messages_numbered_without_a_gap() -> None:
    assert [name[:3] for name in NAMES] == [f"{n:02d}-" for n in range(1, 41)]
    assert all(re.fullmatch(r"\d\d(-[a-z]+)+\.eml", name) for name in NAMES)


def test_the_whole_inbox_is_small() -> None:
    assert sum(map(len, RAW.values())) < 80_000


@every_message
def test_only_the_message_that_was_cut_off_has_a_defect(name: str) -> None:
    assert defects(parsed(name)) == (["CloseBoundaryNotFoundDefect"] if name == CUT_OFF else [])


@every_message
def test_lines_end_and_stay_as_the_standard_of_mail_asks(name: str) -> None:
    # RFC 5322, 2.1.1 and 2.3: CR and LF only together, at most 998 characters a line
    assert not re.search(rb"(?<!\r)\n|\r(?!\n)|\0", RAW[name])
    assert max(map(len, RAW[name].split(b"\r\n"))) <= 998


@every_message
def test_headers_are_plain_ascii_and_each_occurs_once(name: str) -> None:
    head = RAW[name].split(b"\r\n\r\n", 1)[0]
    assert head.isascii()
    counts = Counter(key.lower() for key in parsed(name))
    assert {key: counts[key] for key in ("date", "from", "to", "subject", "message-id")} == dict.fromkeys(
        ("date", "from", "to", "subject", "message-id"), 1
    )
    assert counts.most_common(1)[0][1] == 1


@every_message
def test_message_goes_to_the_workshop_with_a_named_sender_and_a_subject(name: str) -> None:
    message = parsed(name)
    assert message["To"].addresses[0].addr_spec == "workshop@club.example"
    assert message["From"].addresses[0].display_name
    assert message["Subject"] == message["Subject"].strip() != ""
    assert "=?" not in message["Subject"] + message["From"]


@every_message
def test_text_is_decoded_without_a_replacement_character(name: str) -> None:
    assert "\ufffd" not in text_of(name)
    assert not re.search("[\u00c2-\u00f4][\u0080-\u00bf]", text_of(name)), "UTF-8 read as something else"
    assert bool(body(name).strip()) is (name != EMPTY)


@every_message
def test_every_host_is_under_the_reserved_domain(name: str) -> None:
    text = text_of(name)
    pairs = re.findall(r"(?:@|://)([\w.-]*\w)|\b(?:by|from) ([\w-]+\.[\w.-]+\w)", text)
    hosts = [after_sign or in_trace for after_sign, in_trace in pairs]
    assert len(hosts) >= 5, "two of the trace, sender, workshop, Message-ID"
    assert [host for host in hosts if not host.endswith(".example")] == []
    assert not re.search(r"\b[\w-]+\.(?:com|org|net|info|io|eu|de|uk|fr|us|ch|at)\b|\bwww\.|src=|href=", text)


@every_message
def test_network_addresses_are_those_set_aside_for_documentation(name: str) -> None:
    numbers = re.findall(r"\d+\.\d+\.\d+\.\d+", text_of(name))
    assert numbers
    assert all(number.startswith("192.0.2.") for number in numbers)  # RFC 5737


def test_one_message_arrives_twice_and_no_other_identifier_repeats() -> None:
    by_id: dict[str, list[str]] = {}
    for name in NAMES:
        by_id.setdefault(parsed(name)["Message-ID"], []).append(name[:2])
    assert [numbers for numbers in by_id.values() if len(numbers) > 1] == [["18", "19"]]
    first, second = (RAW[name].split(b"Date:", 1) for name in NAMES[17:19])
    assert first[1] == second[1]
    assert first[0] != second[0], "the second delivery has a trace of its own"


def test_messages_are_numbered_in_the_order_of_arrival_within_three_weeks() -> None:
    arrivals = [parsedate_to_datetime(parsed(name)["Received"].rsplit(";", 1)[1]) for name in NAMES]
    assert arrivals == sorted(arrivals)
    start = datetime(2026, 11, 2, tzinfo=UTC)
    assert start <= arrivals[0]
    assert arrivals[-1] < start + timedelta(weeks=3)
    delays = [at - parsed(name)["Date"].datetime for at, name in zip(arrivals, NAMES, strict=True)]
    assert all(timedelta(0) < delay < timedelta(hours=1) for delay in delays)


def test_replies_lead_back_to_an_earlier_message_of_the_same_rider() -> None:
    seen: dict[str, str] = {}
    replies = []
    for name in NAMES:
        message = parsed(name)
        sender = message["From"].addresses[0].addr_spec
        if message["In-Reply-To"]:
            replies.append(name[:2])
            first, *_, last = message["References"].split()
            assert seen[first] == sender
            assert last == message["In-Reply-To"]
            assert last.endswith("@club.example>")
            assert message["Subject"].startswith("Re: ")
            assert re.search("^>", body(name), re.MULTILINE)
        seen.setdefault(message["Message-ID"], sender)
    assert replies == ["09", "15", "25", "32", "39"]


def test_encodings_and_structures_of_real_mail_all_occur() -> None:
    kinds: Counter[str] = Counter()
    for name in NAMES:
        message = parsed(name)
        part = message.get_body(("plain", "html"))
        assert part is not None
        kinds[message.get_content_type()] += 1
        kinds[str(part["Content-Transfer-Encoding"]).lower()] += 1
        kinds[str(part.get_content_charset())] += 1
        kinds["flowed"] += part.get_param("format") == "flowed"
        kinds["signature"] += bool(re.search(r"^-- $", body(name), re.MULTILINE))
        kinds["bare"] += "MIME-Version" not in message
        kinds.update(word.lower() for word in re.findall(r"=\?([\w-]+)\?[qb]\?", RAW[name].decode("latin-1"), re.I))
    assert kinds["flowed"] >= 4
    assert kinds["signature"] >= 5
    for kind in ("base64", "quoted-printable", "8bit", "iso-8859-1", "utf-8", "multipart/alternative", "text/html"):
        assert kinds[kind] >= 1, kind
    assert kinds["multipart/mixed"] == 1
    assert kinds["bare"] == 1


def test_soft_line_breaks_join_to_whole_paragraphs() -> None:
    flowed = [name for name in NAMES if b'format="flowed"' in RAW[name]]
    for name in flowed:
        lines = body(name).splitlines()
        soft = [n for n, line in enumerate(lines) if line.endswith(" ") and line != "-- "]
        assert soft, name
        assert all(lines[n + 1].strip() and lines[n + 1] != "-- " for n in soft), name


def test_the_one_attachment_is_a_small_picture() -> None:
    attached = [(name[:2], part) for name in NAMES for part in parsed(name).iter_attachments()]
    assert [(number, part.get_content_type(), part.get_filename()) for number, part in attached] == [
        ("17", "image/png", "lump.png")
    ]
    content = attached[0][1].get_content()
    assert content.startswith(b"\x89PNG\r\n\x1a\n")
    assert len(content) < 2000


def test_lengths_reach_from_two_lines_to_a_long_letter() -> None:
    lines = {name[:2]: body(name).strip().splitlines() for name in NAMES}
    assert len(lines["03"]) == len(lines["29"]) == 2
    assert len(body(NAMES[1]).split()) > 350


def test_scenario_lists_every_message_under_its_sender() -> None:
    listed = [(number, cells[1]) for number, cells in rows().items()]
    senders = [(name[:2], parsed(name)["From"].addresses[0].display_name) for name in NAMES]
    assert listed == senders


def test_scenario_names_articles_that_exist_from_every_system() -> None:
    known = {path.stem: path.parent.name for path in Path(articles.__file__).parent.glob("*/*.md")}
    named = {word for cells in rows().values() for word in re.findall(r"`([a-z-]+)`", " ".join(cells[2:]))}
    assert named <= known.keys()
    assert {known[word] for word in named} == set(known.values())
    fault_of_four = [number for number, cells in rows().items() if cells[2] == "`cassette-worn`"]
    assert fault_of_four == ["04", "13", "22", "33"]


def test_scenario_says_at_once_that_everything_is_invented() -> None:
    assert "Everything here is invented" in SCENARIO[:100]
