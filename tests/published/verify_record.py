#!/usr/bin/env python3
"""Checks the signature of a Pullmark record without Pullmark.

Written from published standards alone; nothing of the program's own code is used or was looked at for it:
  RFC 8785       canonical JSON, here for a profile without fractions
  RFC 7493       I-JSON: no name twice, whole numbers that a double holds
  W3C Data Integrity EdDSA Cryptosuites v1.0, section 3.3   eddsa-jcs-2022
  W3C Controlled Identifiers 1.0, Multikey; did:key method   keys as text (multicodec ed 01, base58btc)
  RFC 8032       Ed25519, by the package `cryptography`

It checks the signature, that proof and document have the same contexts, that issuer and verification method are the
same key, and that this key is the last of the record's key history. It does not check that the verdicts follow from
the figures. Needs Python 3.9 or newer and the package `cryptography`.

  verify_record.py RECORD.json [--json] [--fingerprint HEX] [--parts DIR]

Exit status: 0 it holds, 1 it does not, 2 the question was wrong. `--parts` writes message.bin, signature.bin and
key.pem, for checking the signature with yet another program:
  openssl pkeyutl -verify -pubin -inkey key.pem -rawin -in message.bin -sigfile signature.bin
"""

import argparse
import base64
import hashlib
import json
import pathlib
import sys

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

MOST = 2**53 - 1
ALPHABET = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"
ORDER = 2**252 + 27742317777372353535851937790883648493  # RFC 8032 section 5.1: the order of the base point
MEMBERS = {"type", "cryptosuite", "created", "verificationMethod", "proofPurpose", "@context", "proofValue"}


class DoesNotHold(Exception):
    """The record does not hold, with the reason."""


def once(pairs):
    """An object in which every name stands once (RFC 7493 section 2.3)."""
    result = dict(pairs)
    if len(result) != len(pairs):
        raise DoesNotHold("a name stands twice in one object")
    return result


def whole(text):
    """A whole number in plain digits that a double holds (RFC 7493 section 2.2)."""
    number = int(text)
    if str(number) != text or abs(number) > MOST:
        raise DoesNotHold(f"the number {text} is not a plain whole number")
    return number


def refuse(text):
    raise DoesNotHold(f"the number {text} is no whole number")


def read(data):
    """JSON that can be read in one way only."""
    try:
        text = data.decode("utf-8")
        value = json.loads(text, object_pairs_hook=once, parse_int=whole, parse_float=refuse, parse_constant=refuse)
    except (ValueError, RecursionError) as error:
        raise DoesNotHold(f"the file is not JSON: {error}") from error
    try:
        canonical(value).encode("utf-8")
    except UnicodeEncodeError as error:
        raise DoesNotHold("a text holds half of a surrogate pair") from error
    return value


def canonical(value):
    """RFC 8785 for texts, whole numbers, lists and objects."""
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int):
        return str(value)
    if isinstance(value, str):
        return text(value)
    if isinstance(value, list):
        return "[" + ",".join(map(canonical, value)) + "]"
    # Section 3.2.3: names are sorted by their UTF-16 code units.
    names = sorted(value, key=lambda name: name.encode("utf-16-be", "surrogatepass"))
    return "{" + ",".join(text(name) + ":" + canonical(value[name]) for name in names) + "}"


def text(value):
    """Section 3.2.2.2."""
    short = {8: "\\b", 9: "\\t", 10: "\\n", 12: "\\f", 13: "\\r", 34: '\\"', 92: "\\\\"}
    signs = (short.get(ord(c)) or (f"\\u{ord(c):04x}" if ord(c) < 32 else c) for c in value)
    return '"' + "".join(signs) + '"'


def sha256(value):
    return hashlib.sha256(canonical(value).encode("utf-8")).digest()


def base58(value, length):
    """Multibase text with base58btc, `z`, of bytes of a known length."""
    if not isinstance(value, str) or not value.startswith("z") or len(value) > 128:
        raise DoesNotHold("a key or signature is no base58btc text")
    digits = value[1:]
    number = 0
    for sign in digits:
        if sign not in ALPHABET:
            raise DoesNotHold(f"{sign!r} is no base58btc digit")
        number = number * 58 + ALPHABET.index(sign)
    zeros = len(digits) - len(digits.lstrip("1"))
    result = b"\0" * zeros + number.to_bytes((number.bit_length() + 7) // 8, "big")
    if len(result) != length:
        raise DoesNotHold(f"a key or signature has {len(result)} bytes, not {length}")
    return result


def ed25519_key(multikey):
    """The 32 bytes of a Multikey: multicodec ed25519-pub, ed 01."""
    data = base58(multikey, 34)
    if data[:2] != b"\xed\x01":
        raise DoesNotHold("the key is no Ed25519 key")
    return data[2:]


def check_proof(document, proof):
    """The proof's members, apart from its value."""
    if not isinstance(proof, dict) or not set(proof) <= MEMBERS:
        raise DoesNotHold("there is not exactly one proof with the members of the suite")
    wanted = {"type": "DataIntegrityProof", "cryptosuite": "eddsa-jcs-2022", "proofPurpose": "assertionMethod"}
    for name, value in wanted.items():
        if proof.get(name) != value:
            raise DoesNotHold(f"{name} of the proof is not {value}")
    if proof.get("@context") != document.get("@context"):
        raise DoesNotHold("the contexts of proof and document differ")
    method = proof.get("verificationMethod")
    did, _, key = method.partition("#") if isinstance(method, str) else ("", "", "")
    if did != "did:key:" + key or document.get("issuer") != did:
        raise DoesNotHold("issuer and verification method are not one and the same did:key")
    return key


def check_signature(key, signature, message):
    if int.from_bytes(signature[32:], "little") >= ORDER:
        raise DoesNotHold("the signature is written in a second way (S is not reduced)")
    try:
        Ed25519PublicKey.from_public_bytes(key).verify(signature, message)
    except (InvalidSignature, ValueError) as error:
        raise DoesNotHold("the signature does not hold") from error


def verify(data, parts=None):
    """Checks a record, and says what a reader wants to know."""
    document = read(data)
    if not isinstance(document, dict):
        raise DoesNotHold("the file holds no object")
    whole_record = hashlib.sha256(canonical(document).encode("utf-8")).hexdigest()
    proof = document.pop("proof", None)
    multikey = check_proof(document, proof)
    key = ed25519_key(multikey)
    signature = base58(proof.get("proofValue"), 64)
    options = {name: value for name, value in proof.items() if name != "proofValue"}
    message = sha256(options) + sha256(document)  # section 3.3.4
    if parts:
        write_parts(pathlib.Path(parts), key, signature, message)
    check_signature(key, signature, message)
    subject = document.get("credentialSubject")
    history = subject.get("key_history") if isinstance(subject, dict) else None
    if not isinstance(history, list) or not history or not isinstance(history[-1], dict):
        raise DoesNotHold("the record has no key history")
    if history[-1].get("key") != multikey:
        raise DoesNotHold("the key that signed is not the last of the key history")
    fingerprint = sha256(history[0]).hex()
    return {
        "valid": True,
        "key": "did:key:" + multikey,
        "fingerprint": fingerprint,
        "sha256": whole_record,
        "created": proof.get("created"),
    }


def write_parts(folder, key, signature, message):
    """What another program needs: the key as SubjectPublicKeyInfo (RFC 8410 section 4)."""
    folder.mkdir(parents=True, exist_ok=True)
    info = base64.b64encode(bytes.fromhex("302a300506032b6570032100") + key).decode("ascii")
    (folder / "key.pem").write_text(f"-----BEGIN PUBLIC KEY-----\n{info}\n-----END PUBLIC KEY-----\n")
    (folder / "signature.bin").write_bytes(signature)
    (folder / "message.bin").write_bytes(message)


def main():
    arguments = argparse.ArgumentParser(description="Checks the signature of a Pullmark record without Pullmark.")
    arguments.add_argument("record")
    arguments.add_argument("--json", action="store_true", help="print JSON")
    arguments.add_argument("--fingerprint", help="the bench's fingerprint from another channel")
    arguments.add_argument("--parts", help="write message, signature and key to this folder")
    asked = arguments.parse_args()
    try:
        data = pathlib.Path(asked.record).read_bytes()
    except OSError as error:
        print(f"{asked.record} cannot be read: {error}", file=sys.stderr)
        return 2
    try:
        found = verify(data, asked.parts)
        if asked.fingerprint and asked.fingerprint != found["fingerprint"]:
            raise DoesNotHold(f"it was signed by the bench {found['fingerprint']}")
    except DoesNotHold as why:
        print(json.dumps({"valid": False, "why": str(why)}) if asked.json else f"not valid: {why}")
        return 1
    if asked.json:
        print(json.dumps(found))
    else:
        print("valid: the signature holds")
        print(f"  key          {found['key']}\n  fingerprint  {found['fingerprint']}\n  signed       {found['created']}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
