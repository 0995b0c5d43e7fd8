### The words of the page. What a gap holds is told above its message in en.ftl.

## Around every page

skip = To the content
pages = Pages
foot = Works with no signal once it has been opened. Nothing leaves this device. Advice, not a licence: law and labels come first.
language = Language
book = Cellar book
defaults = Settings
figures = About the figures
words = Trade words
unnamed = Unnamed wine
