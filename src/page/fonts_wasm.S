# The fonts of the sheet as bytes of the page: fonts.S in the syntax of WebAssembly objects.

.macro embed name, file
  .section .rodata.\name,"",@
  .globl \name
  .globl \name\()_end
  .type \name,@object
  .type \name\()_end,@object
  .p2align 4
\name:
  .incbin "\file"
\name\()_end:
  .byte 0
  .size \name\()_end, 1
  .size \name, .-\name
.endm

embed kerfmark_font_regular, "kerfmark-sans.ttf"
embed kerfmark_font_bold, "kerfmark-sans-bold.ttf"
embed kerfmark_metrics_regular, "kerfmark-sans.metrics"
embed kerfmark_metrics_bold, "kerfmark-sans-bold.metrics"
