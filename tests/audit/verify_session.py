"""A second verifier of a session's folder, from the documented format alone: standard library, no code in common.

Usage: verify_session.py FOLDER...   One line each: "sound", or "damaged FILE ENTRY". Leaves with 4 if any is damaged.
It looks at chain, hashes, register, plans and evidence; it does not replay the entries and knows no seals.
"""
import hashlib
import json
import sys
from pathlib import Path

TAG, ZERO = b"spanwise/event/v1\0", "0" * 64


def sha(data):
    return hashlib.sha256(data).hexdigest()


class Damaged(Exception):
    pass


def content(path, entry):
    try:
        return path.read_bytes()
    except OSError:
        raise Damaged(f"{path.name} {entry}") from None


def entries_of(data):
    """EVENT is line[5:-72] of the line without its LF: {"e":EVENT,"h":"HASH"}. Hash first, parse second, spell again third."""
    entries, prev, sid = [], ZERO, None
    lines = data.split(b"\n")
    if len(lines) < 2 or lines[-1]:
        lines.append(b"")  # a last line without its LF is bad, if nothing before it is
    for number, line in enumerate(lines[:-1]):
        event, stored = line[5:-72], line[-66:-2].decode("ascii", "replace")
        try:
            assert line == b'{"e":' + event + b',"h":"' + stored.encode() + b'"}' and stored == sha(TAG + event)
            value = json.loads(event)
            assert json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode() == event
            assert value["seq"] == number and value["prev"] == prev and value["sid"] == (sid or value["sid"])
            assert data[: sum(map(len, lines[: number + 1])) + number + 1].endswith(b"\n")
        except (AssertionError, ValueError, KeyError, TypeError):
            raise Damaged(f"journal.jsonl {number}") from None
        entries, prev, sid = entries + [dict(value, hash=stored)], stored, value["sid"]
    return entries


def slot(entry):
    note = f"{entry['seq']:020}{entry['hash']}".encode()
    return (note + sha(note)[:16].encode()).ljust(512, b"\n")


def check_register(data, entries, acked):
    last = entries[-1]
    if acked > last["seq"]:
        raise Damaged(f"journal.jsonl {len(entries)}")
    older = slot(entries[-2]) if len(entries) > 1 else b"\n" * 512
    pair = [older, slot(last)] if last["seq"] % 2 else [slot(last), older]
    if data != b"".join(pair):
        raise Damaged("acked.reg -")


def acknowledged(data):
    halves = [data[:512], data[512:]]
    notes = [int(half[:20]) for half in halves if half[:20].isdigit() and half[84:100] == sha(half[:84])[:16].encode()]
    return max(notes, default=-1)


def verify(folder):
    entries = entries_of(content(folder / "journal.jsonl", 0))
    register = content(folder / "acked.reg", "-")
    check_register(register, entries, acknowledged(register))
    for number, entry in enumerate(entries):
        kind, body = entry["kind"], entry["body"]
        if kind == "opened" and sha(content(folder / "plan.json", number)) != body["plan"]:
            raise Damaged(f"plan.json {number}")
        if kind == "plan_revised" and sha(content(folder / "plans" / f"{body['plan']}.json", number)) != body["plan"]:
            raise Damaged(f"plans/{body['plan']}.json {number}")
        if kind == "evidence_added":
            name = f"evidence/{body['sha256'][:2]}/{body['sha256']}"
            data = content(folder / name, number)
            if sha(data) != body["sha256"] or len(data) != body["bytes"]:
                raise Damaged(f"{name} {number}")
        if kind == "signed_off" and (body["count"] != number or body["head"] != entry["prev"]):
            raise Damaged(f"journal.jsonl {number}")


def main(folders):
    worst = 0
    for folder in map(Path, folders):
        try:
            verify(folder)
            print("sound")
        except Damaged as fault:
            worst = 4
            print("damaged", fault)
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
