"""Words for phases, sexes and roles, in six languages."""

from __future__ import annotations

from plateline.log.kinds import fold_words
from plateline.words import Phase, Role

__all__ = ["PHASE_WORDS", "ROLE_WORDS", "SEX_WORDS"]


_PHASES = {
    Phase.GAIN: "gain|gaining|bulk|bulking|lean bulk|mass|massing|surplus|build|aufbau|masse|zunehmen|"
    "überschuss|massephase|prise de masse|prise|volumen|ganar|superávit|massa|aumento|ganho|up",
    Phase.HOLD: "hold|holding|maintain|maintenance|maintaining|keep|stable|recomp|recomposition|halten|"
    "erhaltung|gleichgewicht|maintien|stabilisation|mantener|mantenimiento|mantenimento|"
    "mantenere|manter|manutenção",
    Phase.LOSE: "lose|losing|cut|cutting|deficit|diet|dieting|fat loss|weight loss|shred|mini cut|definition|"
    "diät|abnehmen|defizit|sèche|perte|perte de poids|déficit|perder|definición|definizione|"
    "perdere|dimagrimento|perda|definição|emagrecer|down",
}

PHASE_WORDS = {
    fold_words(w): phase.value for phase, words in _PHASES.items() for w in words.split("|")
}

SEX_WORDS = {
    fold_words(w): sex
    for sex, words in {
        "f": "f|female|woman|w|weiblich|frau|femme|féminin|mujer|femenino|donna|femmina|mulher|feminino",
        "m": "m|male|man|männlich|mann|homme|masculin|hombre|masculino|uomo|maschio|homem",
        "x": "x|d|diverse|divers|non-binary|nonbinary|nb|other|andere|autre|otro|altro|outro",
    }.items()
    for w in words.split("|")
}  # fmt: skip

ROLE_WORDS = {
    fold_words(w): role.value
    for role, words in {
        Role.PROGRESSION: "progression|progress|main|main lift|primary|compound|hauptübung|progresión|"
        "progressione|progressão|principal|principale",
        Role.ACCESSORY: "accessory|accessories|assistance|secondary|isolation|supplementary|nebenübung|"
        "zubehör|hilfsübung|accessoire|accesorio|accessorio|acessório|complementare",
    }.items()
    for w in words.split("|")
}  # fmt: skip
