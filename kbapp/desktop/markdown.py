"""Markdown to safe HTML: rendered, then cleaned down to plain marks of text; no pictures, no styles, no addresses."""

from typing import Final

_TAGS: Final = {
    "p", "br", "hr", "h1", "h2", "h3", "h4", "h5", "h6", "em", "strong", "code", "pre", "blockquote",
    "ul", "ol", "li", "table", "thead", "tbody", "tr", "th", "td", "del", "sub", "sup",
}  # fmt: skip


def safe_html(text: str, *, inner_links: bool = False) -> str:
    """Returns Markdown as HTML that can neither load, link nor run anything.

    ``inner_links`` keeps relative links (help pages point to each other); addresses with any scheme are always dropped.
    """
    import markdown  # heavy, and only needed once a case is read
    import nh3

    html = markdown.markdown(text, extensions=["tables", "fenced_code", "sane_lists"], output_format="html")
    tags = _TAGS | {"a"} if inner_links else _TAGS
    cleaned: str = nh3.clean(
        html, tags=tags, attributes={"a": {"href"}} if inner_links else {}, url_schemes=set(), link_rel=None,
        clean_content_tags={"script", "style", "iframe", "object", "template", "svg", "math"},
    )  # fmt: skip
    return cleaned
