autocmd BufRead,BufNewFile *.trunnion setfiletype trunnion
