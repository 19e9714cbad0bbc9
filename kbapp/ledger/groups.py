"""Joins names into groups: ids that mean one job, or one vehicle."""


class Groups:
    """A union of names that grows pair by pair; a name never joined stands for itself."""

    def __init__(self) -> None:
        self._parent: dict[str, str] = {}

    def __bool__(self) -> bool:
        return bool(self._parent)

    def root(self, name: str) -> str:
        """Returns the one name that stands for the group of ``name``."""
        parent = self._parent
        while (above := parent.get(name, name)) != name:
            parent[name] = parent.get(above, above)
            name = above
        return name

    def join(self, one: str, other: str) -> None:
        """Makes one group of two; the smaller name stands for it, so that the order of joining does not matter."""
        first, second = sorted((self.root(one), self.root(other)))
        if first != second:
            self._parent[second] = first
