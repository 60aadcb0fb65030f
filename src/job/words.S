# The sentences of each language, templates/words.*.toml, as read-only bytes of the program.

.macro embed name, file
  .globl \name
  .globl \name\()_end
\name:
  .incbin "\file"
\name\()_end:
.endm

.section .rodata
embed kerfmark_words_en, "words.en.toml"
embed kerfmark_words_de, "words.de.toml"

.section .note.GNU-stack, "", %progbits
