"""What can go wrong, as exceptions."""

import re

# include/drupelet/scenario.h: "file:line:column: key.path: found ..., expected ...", or without line and column
_PLACE = re.compile(r"^(?P<file>.+?):(?P<line>\d+):(?P<column>\d+): (?P<rest>.*)$", re.DOTALL)
_SETTING = re.compile(r"^--set (?P<setting>.*?): (?P<rest>(?:(?!: ).)*: found .*)$", re.DOTALL)
_FOUND = re.compile(r"^(?:(?P<key>.*?): )?found (?P<found>.*), expected (?P<expected>.*)$", re.DOTALL)


class Error(Exception):
    """Whatever the library refused; str() is its sentence."""


class ScenarioError(Error, ValueError):
    """A scenario, a plan, a setting or a name cannot be used as it stands.

    file, line, column  where the fault stands; None where it has no place (values of a dict, settings)
    setting             the setting that it is in, "key=value", or None
    key                 path of the key, such as "weather.wind_speed", or None
    found, expected     what stands there and what is accepted, or None
    """

    def __init__(self, message):
        super().__init__(message)
        self.file = self.line = self.column = self.setting = self.key = self.found = self.expected = None
        rest = message
        place = _PLACE.match(message)
        setting = _SETTING.match(message)
        if setting:
            self.setting, rest = setting["setting"], setting["rest"]
        elif place:
            self.file, self.line, self.column = place["file"], int(place["line"]), int(place["column"])
            rest = place["rest"]
        fault = _FOUND.match(rest)
        if fault:
            self.key, self.found, self.expected = fault["key"], fault["found"], fault["expected"]
            if not setting and not place and self.key and ": " in self.key:  # "name: key.path: found"
                self.file, self.key = self.key.split(": ", 1)


class FileError(Error, OSError):
    """A file cannot be read or written."""


class BalanceError(Error):
    """The fates do not add up to what was emitted: a fault of the program."""


class Stopped(Error):
    """The progress function asked for a stop; nothing was written (of a sweep, the journal stays)."""
