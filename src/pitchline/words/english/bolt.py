"""Whether a typed torque is plausible."""

from pitchline.words.english import Sentence

_RANGE = "A usual preload is reached between about {low_nm:,.0f} and {high_nm:,.0f} N·m, as friction is."
SENTENCES: dict[str, Sentence] = {
    "plausible": f"{{typed_nm:,.0f}} N·m is plausible. {_RANGE}",
    "low": f"{{typed_nm:,.0f}} N·m is little for this bolt: it would carry {{least:percent}} to {{most:percent}} of its proof load. {_RANGE}",
    "high": f"{{typed_nm:,.0f}} N·m is much for this bolt: it would carry {{least:percent}} to {{most:percent}} of its proof load. {_RANGE}",
}
