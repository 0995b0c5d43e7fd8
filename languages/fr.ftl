### The words of the page. What a gap holds is told above its message in en.ftl.

## Around every page

skip = Aller au contenu
pages = Pages
foot = Fonctionne sans réseau une fois ouvert. Rien ne quitte cet appareil. Un conseil, non une autorisation : la loi et les étiquettes passent d’abord.
language = Langue
book = Cahier de cave
defaults = Réglages
figures = À propos des chiffres
words = Mots du métier
unnamed = Vin sans nom
