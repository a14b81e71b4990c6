"""How hard is a text to read? The Flesch-Kincaid grade, by a plain count of sentences, words and syllables."""

import re


def syllables(word):
    """Syllables of an English word by its groups of vowels; a silent end is not counted. Good to about one in ten."""
    word = re.sub(r"[^a-z]", "", word.lower())
    if len(word) <= 3:
        return 1
    word = word.replace("aer", "a-er")                                  # two sounds, as in aerate
    word = re.sub(r"(?:[^laeiouy]es|[^td]ed|[^laeiouy]e)$", lambda end: end[0][0], word)
    return max(1, len(re.findall(r"[aeiouy]+", word)))


def plain(text):
    """Sentences of a Markdown text, without headings, tables, code, links and marks."""
    text = re.sub(r"(?s)```.*?```|<!--.*?-->|<[^>]+>", " ", text)
    lines = [line for line in text.splitlines() if not line.lstrip().startswith(("#", "|"))]
    text = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", "\n".join(lines))
    text = re.sub(r"`[^`]*`|[*_]", " ", text)
    text = re.sub(r"(?<=\d)[.,](?=\d)", "", text)                       # 4.3 is no end of a sentence
    text = re.sub(r"(?m)^\s*(?:[-*]|\d+\.)\s+", "\n\n", text)
    pieces = re.split(r"(?<=[.!?])[\s”\"')]+|\n\s*\n", text)
    return [piece for piece in pieces if re.search(r"[A-Za-z]{2}", piece)]


def grade(text):
    """Flesch-Kincaid grade of a Markdown text.

    Parameters
    ----------
    text : str

    Returns
    -------
    float
        School grade in the US, about one grade either way.

    Notes
    -----
    0.39 words a sentence + 11.8 syllables a word - 15.59. The end of a list entry or paragraph ends a sentence too.
    Numbers count as words of one syllable.

    References
    ----------
    Kincaid, Fishburne, Rogers and Chissom, 1975, Research Branch Report 8-75, Naval Technical Training Command
    (the formula from memory, not verified).
    """
    sentences = plain(text)
    words = [word for sentence in sentences for word in re.findall(r"[A-Za-z’'\-]+|\d+", sentence)]
    if not words:
        raise ValueError("There is no sentence in this text, so it has no grade. Give it some prose.")
    return 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59
