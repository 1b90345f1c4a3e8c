" Settings of a specification's buffer, and the language server for it.
if exists('b:did_ftplugin')
  finish
endif
let b:did_ftplugin = 1

setlocal commentstring=//\ %s
setlocal comments=:///,://
setlocal formatoptions-=t formatoptions+=croql
setlocal expandtab shiftwidth=2 softtabstop=2
setlocal foldmethod=indent foldlevel=99
let b:undo_ftplugin = 'setlocal commentstring< comments< formatoptions< expandtab< shiftwidth< softtabstop< foldmethod< foldlevel<'

if has('nvim') && get(g:, 'trunnion_lsp', 1)
  lua require('trunnion').attach(0)
endif
