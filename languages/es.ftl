### The words of the page. What a gap holds is told above its message in en.ftl.

## Around every page

skip = Ir al contenido
pages = Páginas
foot = Funciona sin red una vez abierto. Nada sale de este dispositivo. Es consejo, no autorización: primero la ley y las etiquetas.
language = Idioma
book = Cuaderno de bodega
defaults = Ajustes
figures = Acerca de las cifras
words = Palabras del oficio
unnamed = Vino sin nombre
