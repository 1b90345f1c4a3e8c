" Colours of a conversion specification. A leading word is one only at the start of a line, after `{` or
" after a comma. tests/editors/neovim_test.lua holds the words against the table of statement forms.
if exists('b:current_syntax')
  finish
endif

syntax case match
syntax sync minlines=200

" Where a statement may begin.
syntax match trunnionStart /^\s*\ze\k/ nextgroup=trunnionDeclaration,trunnionLead
syntax match trunnionStart /[{,]\s*/ nextgroup=trunnionDeclaration,trunnionLead

" Words that declare a name.
syntax keyword trunnionDeclaration bus connector conversion does face family feed ground kind line link loom contained nextgroup=trunnionName skipwhite
syntax keyword trunnionDeclaration medium module mount opening option part pattern person place plug port rule contained nextgroup=trunnionName skipwhite
syntax keyword trunnionDeclaration scheme service signal source splice state terminal vehicle way work zone contained nextgroup=trunnionName skipwhite

" Other leading words.
syntax keyword trunnionLead accept after aim ask asks basis because before blank bridge budget built contained
syntax keyword trunnionLead caution cavities cavity choose comes cut donor dowels drawback driven exchange contained
syntax keyword trunnionLead fit fitted flare frame hand hands has hears holds holes join joint keying log contained
syntax keyword trunnionLead contact diode duty supplies contained
syntax keyword trunnionLead lost make mates measure move needs no offer on opens pair paired passes price contained
syntax keyword trunnionLead private reached recipient register remove renew replace run safety sends contained
syntax keyword trunnionLead setting setup software spline stays stock suits take takes terminates thread contained
syntax keyword trunnionLead torque twisted tyre use wait when wire contained
syntax match trunnionName /\k\+/ contained

" Words between the values of a statement.
syntax keyword trunnionModifier about and angle arrived ask at back before bore both by carrying done draw
syntax keyword trunnionModifier driven effort empty engaged every failed female fills fitted for found from
syntax keyword trunnionModifier fuse gives good has hears hot id in is joins least long male measured module
syntax keyword trunnionModifier most not of on only or ordered out paid photographed pitch prefer pressure
syntax keyword trunnionModifier sends sides size sold takes teeth terminal thread through to tool way with
syntax keyword trunnionModifier within
syntax keyword trunnionReason per because
syntax keyword trunnionNone none

syntax match trunnionNumber /\k\@<!\d\+\%([.,\/]\d\+\)*/ nextgroup=trunnionUnit skipwhite
syntax match trunnionUnit /\%(lbf ft\|\a\+\d\?\/\a\+\|[kmµM]\?[mgNVAWΩlsJ][m²³h]\?[23]\?\|k\?Nm\|in\|lb\|rpm\|mph\|min\|h\|days\?\|weeks\?\|months\?\|bar\|psi\|k\?Pa\|AWG\|°[CF]\?\|%\|\u\{3}\)\k\@!/ contained
syntax match trunnionDate /\k\@<!\d\{4}-\d\{1,2}\%(-\d\{1,2}\)\?/
syntax match trunnionMarking /\k\@<!\d\{3}\/\d\{2}\s*Z\?R\s*\d\{2}/
syntax match trunnionMarking /\k\@<!M\d\+\%([.,]\d\+\)\?\%(\s*[x×]\s*\d\+\%([.,]\d\+\)\?\)\?\k\@!/
syntax match trunnionColour /\s\@1<=\%(BK\|BN\|RD\|OG\|YE\|GN\|BU\|VT\|GY\|WH\|PK\|TQ\|GD\|SR\)\%(\/\u\u\)\?\k\@!/
syntax match trunnionOperator /±\|[<>=!]=\?\|[≤≥≠×]/
syntax region trunnionText start=/"/ skip=/\\./ end=/"\|$/ oneline contains=@Spell
syntax match trunnionComment /\/\/.*$/ contains=@Spell
syntax match trunnionDoc /\/\/\/\/\@!.*$/ contains=@Spell

highlight default link trunnionDeclaration Statement
highlight default link trunnionLead Statement
highlight default link trunnionName Type
highlight default link trunnionModifier Keyword
highlight default link trunnionReason PreProc
highlight default link trunnionNone Constant
highlight default link trunnionNumber Number
highlight default link trunnionUnit Special
highlight default link trunnionDate Number
highlight default link trunnionMarking Constant
highlight default link trunnionColour Constant
highlight default link trunnionOperator Operator
highlight default link trunnionText String
highlight default link trunnionComment Comment
highlight default link trunnionDoc SpecialComment

let b:current_syntax = 'trunnion'
