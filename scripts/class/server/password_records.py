"""A password against its record, as `passwords.mjs` writes it: scrypt (RFC 7914), its cost, salt and hash, with $ between."""

import base64
import hashlib
import hmac

# What nobody's password is, hashed at the usual cost.
NOBODY = "scrypt$16384$8$1$AAAAAAAAAAAAAAAAAAAAAA==$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA="


def fits(password, record):
    _, n, r, p, salt, wanted = record.split("$")
    found = hashlib.scrypt(
        password.encode(), salt=base64.b64decode(salt), n=int(n), r=int(r), p=int(p), maxmem=64_000_000, dklen=32
    )
    return hmac.compare_digest(found, base64.b64decode(wanted))
