# The two faces of the sheet and the tables of their measures, made by make_font.py, as read-only
# bytes of the program.

.macro embed name, file
  .globl \name
  .globl \name\()_end
  .balign 16
\name:
  .incbin "\file"
\name\()_end:
.endm

.section .rodata
embed kerfmark_font_regular, "kerfmark-sans.ttf"
embed kerfmark_font_bold, "kerfmark-sans-bold.ttf"
embed kerfmark_metrics_regular, "kerfmark-sans.metrics"
embed kerfmark_metrics_bold, "kerfmark-sans-bold.metrics"

.section .note.GNU-stack, "", %progbits
