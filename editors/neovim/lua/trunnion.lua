-- Starts `trunnion lsp` for the buffers of one workspace, and attaches it to them.
--
-- Works from Neovim 0.7 on. Set `vim.g.trunnion_server` to the program's full path where it is not on
-- the path, and `vim.g.trunnion_lsp` to 0 to start no server at all (for instance because `vim.lsp.enable`
-- starts it, see README.md).

local M = {}

-- The servers by their workspace root.
local running = {}

--- The folder that a file's workspace begins at: the nearest one above it that holds `.git`, else its own.
local function root_of(file)
  local folder = vim.fn.fnamemodify(file, ':p:h')
  local at = folder
  while true do
    if vim.fn.isdirectory(at .. '/.git') == 1 or vim.fn.filereadable(at .. '/.git') == 1 then
      return at
    end
    local above = vim.fn.fnamemodify(at, ':h')
    if above == at then
      return folder
    end
    at = above
  end
end

local function keys(buffer)
  local function map(key, run, what)
    vim.keymap.set('n', key, run, { buffer = buffer, silent = true, desc = what })
  end
  map('K', vim.lsp.buf.hover, 'Trunnion: the fact with its source')
  map('gd', vim.lsp.buf.definition, 'Trunnion: where it is declared')
  map('gr', vim.lsp.buf.references, 'Trunnion: where it is used')
  map('gO', vim.lsp.buf.document_symbol, 'Trunnion: outline')
  map('<leader>a', vim.lsp.buf.code_action, 'Trunnion: ways out of a clash')
  map('<leader>r', vim.lsp.buf.rename, 'Trunnion: rename')
  map('<leader>f', function()
    if vim.lsp.buf.format then
      vim.lsp.buf.format()
    else
      vim.lsp.buf.formatting_sync()
    end
  end, 'Trunnion: format')
  vim.bo[buffer].omnifunc = 'v:lua.vim.lsp.omnifunc'
end

--- Attaches a buffer to the server of its workspace, and starts the server where there is none.
--- Gives the client's number, or nothing where the program is not found.
function M.attach(buffer)
  if buffer == 0 then
    buffer = vim.api.nvim_get_current_buf()
  end
  local program = vim.g.trunnion_server or 'trunnion'
  if vim.fn.executable(program) ~= 1 then
    vim.notify_once('Trunnion: no program `' .. program .. '`; set g:trunnion_server to its full path', vim.log.levels.WARN)
    return nil
  end
  local root = root_of(vim.api.nvim_buf_get_name(buffer))
  if not running[root] then
    running[root] = vim.lsp.start_client({
      name = 'trunnion',
      cmd = { program, 'lsp' },
      root_dir = root,
      workspace_folders = { { uri = vim.uri_from_fname(root), name = vim.fn.fnamemodify(root, ':t') } },
      on_attach = function(_, attached)
        keys(attached)
      end,
      on_exit = function()
        running[root] = nil
      end,
    })
  end
  if running[root] then
    vim.lsp.buf_attach_client(buffer, running[root])
  end
  return running[root]
end

return M
