-- Drives a real Neovim with the set-up of editors/neovim against `trunnion lsp`. Run by neovim_test.sh.
--
-- Every wait has an end. One line is printed for each step; the first that fails ends the run with code 1.

local binary = assert(os.getenv('TRUNNION_BIN'), 'TRUNNION_BIN is not set')
local workspace = assert(os.getenv('TRUNNION_WORKSPACE'), 'TRUNNION_WORKSPACE is not set')
local forms = assert(os.getenv('TRUNNION_FORMS'), 'TRUNNION_FORMS is not set')
local PATIENCE = tonumber(os.getenv('TRUNNION_PATIENCE') or '30') * 1000
local passed = 0

local function say(text)
  io.stdout:write(text .. '\n')
  io.stdout:flush()
end

local function fail(why)
  say('FAILED ' .. why)
  say(passed .. ' passed, 1 failed')
  vim.cmd('cquit 1')
end

local function check(holds, why)
  if not holds then
    error({ why = why }, 0)
  end
end

local function wait(ready, what)
  check(vim.wait(PATIENCE, ready, 50), what .. ' did not come in ' .. PATIENCE / 1000 .. ' s')
end

local function step(name, run)
  local went, why = xpcall(run, function(told)
    return type(told) == 'table' and told.why or debug.traceback(told)
  end)
  if not went then
    fail(name .. ': ' .. why)
    error('unreachable')
  end
  passed = passed + 1
  say('ok ' .. name)
end

local buffer, client
local file = workspace .. '/first_written/easy_van.trunnion'

local function request(method, params)
  local answers, why = vim.lsp.buf_request_sync(buffer, method, params, PATIENCE)
  check(answers, method .. ': ' .. tostring(why))
  local answer = answers[client]
  check(answer, method .. ' was not answered')
  check(not answer.err and not answer.error, method .. ' failed: ' .. vim.inspect(answer.err or answer.error))
  return answer.result
end

local function clashes()
  return vim.diagnostic.get(buffer, { severity = vim.diagnostic.severity.ERROR })
end

--- Puts the cursor on some text, `within` bytes after its start.
local function go(text, within)
  for nth, line in ipairs(vim.api.nvim_buf_get_lines(buffer, 0, -1, false)) do
    local at = line:find(text, 1, true)
    if at then
      vim.api.nvim_win_set_cursor(0, { nth, at - 1 + within })
      return
    end
  end
  check(false, 'no text `' .. text .. '`')
end

local function here()
  return vim.lsp.util.make_position_params(0, vim.lsp.get_client_by_id(client).offset_encoding)
end

local function group(line, text)
  vim.api.nvim_buf_set_lines(0, 0, -1, false, { line })
  vim.cmd('redraw!')
  local at = line:find(text, 1, true)
  return vim.fn.synIDattr(vim.fn.synID(1, at, 0), 'name')
end

step('the syntax file knows every leading word of the table', function()
  vim.cmd('enew')
  vim.cmd('let g:trunnion_lsp = 0')
  vim.cmd('setfiletype trunnion')
  local count = 0
  for line in io.lines(forms) do
    local lead = line:match('^(%l+)')
    if lead and not line:match('^#') then
      local got = group('  ' .. lead .. ' x', lead)
      check(got == 'trunnionLead' or got == 'trunnionDeclaration', '`' .. lead .. '` is ' .. (got == '' and 'plain' or got))
      count = count + 1
    end
  end
  check(count > 120, 'only ' .. count .. ' forms')
  for _, it in ipairs({
    { 'part auto_six is gearbox', 'auto_six', 'trunnionName' },
    { 'part auto_six is gearbox', 'is', 'trunnionModifier' },
    { '  torque limit 400 Nm per manual', 'Nm', 'trunnionUnit' },
    { '  torque limit 400 Nm per manual', '400', 'trunnionNumber' },
    { '  torque limit 400 Nm per manual', 'per', 'trunnionReason' },
    { '  thread M12x1.5', 'M12x1.5', 'trunnionMarking' },
    { '  tyre 205/65 R16', '205/65 R16', 'trunnionMarking' },
    { '  built 2012-04', '2012-04', 'trunnionDate' },
    { '  wire a to b 0.5 mm2 YE/GN by bay', 'YE/GN', 'trunnionColour' },
    { '/// what it is', 'what', 'trunnionDoc' },
    { 'use "a//b" // why', 'why', 'trunnionComment' },
    { 'use "a//b" // why', '//b', 'trunnionText' },
    { '  take gearbox, part from breaker', 'gearbox', '' },
  }) do
    local got = group(it[1], it[2])
    check(got == it[3], '`' .. it[2] .. '` in `' .. it[1] .. '` is `' .. got .. '`, not `' .. it[3] .. '`')
  end
  vim.bo.modified = false
  vim.cmd('unlet g:trunnion_lsp')
end)

step('opening a file finds its type and starts the server', function()
  vim.g.trunnion_server = binary
  vim.cmd('edit ' .. vim.fn.fnameescape(file))
  buffer = vim.api.nvim_get_current_buf()
  check(vim.bo.filetype == 'trunnion', 'the file type is `' .. vim.bo.filetype .. '`')
  check(vim.bo.commentstring == '// %s', 'the comment string is `' .. vim.bo.commentstring .. '`')
  wait(function()
    local id = next(vim.lsp.buf_get_clients(buffer))
    client = id
    return id ~= nil
  end, 'the server')
  check(vim.lsp.get_client_by_id(client).config.root_dir == workspace, 'its root is ' .. vim.lsp.get_client_by_id(client).config.root_dir)
end)

step('a clash is shown', function()
  wait(function()
    return #clashes() > 0
  end, 'a clash')
  for _, clash in ipairs(clashes()) do
    check(clash.message ~= '', 'a clash says nothing')
    check(clash.code, 'a clash without the name of its check: ' .. clash.message)
  end
end)

step('hover tells about the gearbox', function()
  go('take gearbox,', 7)
  local said = request('textDocument/hover', here())
  check(said and said.contents, 'nothing is said')
  check(vim.inspect(said.contents):find('gearbox', 1, true), 'it does not speak of the gearbox: ' .. vim.inspect(said.contents))
  vim.lsp.buf.hover()
  wait(function()
    for _, window in ipairs(vim.api.nvim_list_wins()) do
      if vim.api.nvim_win_get_config(window).relative ~= '' then
        vim.api.nvim_win_close(window, true)
        return true
      end
    end
    return false
  end, 'the window of the hover')
end)

step('go to definition opens the donor in the other file', function()
  go('donor breaker', 8)
  vim.lsp.buf.definition()
  wait(function()
    return vim.api.nvim_buf_get_name(0) == workspace .. '/vehicles.trunnion'
  end, 'the other file')
  local line = vim.api.nvim_get_current_line()
  check(line:find('vehicle breaker', 1, true), 'the cursor is on: ' .. line)
  check(next(vim.lsp.buf_get_clients(0)) == client, 'the other file is not with the same server')
  vim.cmd('buffer ' .. buffer)
end)

step('the outline names the conversion', function()
  local symbols = request('textDocument/documentSymbol', { textDocument = vim.lsp.util.make_text_document_params(buffer) })
  local names = vim.tbl_map(function(it)
    return it.name
  end, symbols or {})
  local found = vim.tbl_filter(function(it)
    return it:find('easy_van_first', 1, true)
  end, names)
  check(#found > 0, 'it has only: ' .. table.concat(names, ', '))
end)

step('formatting tidies a line and changes nothing else', function()
  local before = vim.api.nvim_buf_get_lines(buffer, 0, -1, false)
  local untidy = vim.deepcopy(before)
  for nth, line in ipairs(untidy) do
    if line == '  recipient van' then
      untidy[nth] = '        recipient     van   '
    end
  end
  check(not vim.deep_equal(before, untidy), 'no line to make untidy')
  vim.api.nvim_buf_set_lines(buffer, 0, -1, false, untidy)
  vim.lsp.buf.formatting_sync({}, PATIENCE)
  local after = vim.api.nvim_buf_get_lines(buffer, 0, -1, false)
  check(vim.tbl_contains(after, '  recipient van'), 'the line is still untidy')
  local function bare(lines)
    return (table.concat(lines, ''):gsub('%s', ''))
  end
  check(bare(after) == bare(before), 'more than blanks was changed')
end)

step('a quick fix is applied and its clash is gone', function()
  wait(function()
    return #clashes() > 0
  end, 'a clash after formatting')
  -- Once the verdicts of the newest text are here.
  vim.wait(1500, function()
    return false
  end, 100)
  local mended
  for _, clash in ipairs(clashes()) do
    local lsp = clash.user_data and clash.user_data.lsp or {}
    local encoding = vim.lsp.get_client_by_id(client).offset_encoding
    local function position(line, column)
      local text = vim.api.nvim_buf_get_lines(buffer, line, line + 1, false)[1] or ''
      local utf32, utf16 = vim.str_utfindex(text, math.min(column, #text))
      return { line = line, character = encoding == 'utf-8' and column or encoding == 'utf-32' and utf32 or utf16 }
    end
    local range = { start = position(clash.lnum, clash.col), ['end'] = position(clash.end_lnum, clash.end_col) }
    local actions = request('textDocument/codeAction', {
      textDocument = vim.lsp.util.make_text_document_params(buffer),
      range = range,
      context = {
        only = { 'quickfix' },
        diagnostics = {
          { range = range, message = clash.message, severity = clash.severity, source = clash.source, code = clash.code, data = lsp.data },
        },
      },
    })
    for _, action in ipairs(actions or {}) do
      if not action.edit and action.data then
        action = request('codeAction/resolve', action)
      end
      -- Others in the same range answer open points beside it.
      local mends = false
      for _, it in ipairs(action.diagnostics or {}) do
        mends = mends or it.message == clash.message
      end
      if action.edit and mends then
        vim.lsp.util.apply_workspace_edit(action.edit, encoding)
        mended = { clash = clash, title = action.title }
        break
      end
    end
    if mended then
      break
    end
  end
  check(mended, 'none of ' .. #clashes() .. ' clashes comes with an edit')
  wait(function()
    for _, clash in ipairs(clashes()) do
      if clash.message == mended.clash.message and clash.code == mended.clash.code then
        return false
      end
    end
    return true
  end, 'the end of the clash `' .. mended.clash.message .. '` after `' .. mended.title .. '`')
  say('   ' .. tostring(mended.clash.code) .. ': ' .. mended.title)
end)

step('the plan of a conversion is written into its text', function()
  vim.cmd('edit! ' .. vim.fn.fnameescape(workspace .. '/easy_van.trunnion'))
  local choosing = vim.api.nvim_get_current_buf()
  wait(function()
    return next(vim.lsp.buf_get_clients(choosing)) == client
  end, 'the server of the other file')
  local before = vim.api.nvim_buf_get_lines(choosing, 0, -1, false)
  local chosen = vim.tbl_filter(function(it)
    return it:find('  choose flywheel', 1, true) == 1
  end, before)
  check(#chosen == 1, 'no line to choose in')
  buffer = choosing
  go('conversion easy_van', 3)
  local lens = request('textDocument/codeLens', { textDocument = vim.lsp.util.make_text_document_params(choosing) })
  for _, it in ipairs(lens) do
    check(it.command.command == 'trunnion.plan' and it.command.title:find(' · plan', 1, true), 'a lens is ' .. vim.inspect(it))
  end
  check(#lens == 2, #lens .. ' lenses on two ways')
  local told
  local show = vim.lsp.handlers['window/showMessage']
  vim.lsp.handlers['window/showMessage'] = function(_, said)
    told = said.message
  end
  -- As a user does it: the action is picked from the list of those that are offered at the cursor.
  local offered
  local select = vim.ui.select
  vim.ui.select = function(all, options, done)
    for _, it in ipairs(all) do
      local title = options.format_item and options.format_item(it) or tostring(it)
      if title:find('plan: make easy van whole', 1, true) then
        offered = title
        return done(it)
      end
    end
    check(false, 'no plan among: ' .. vim.inspect(all))
  end
  vim.lsp.buf.code_action()
  local function text()
    return vim.api.nvim_buf_get_lines(choosing, 0, -1, false)
  end
  wait(function()
    return vim.tbl_contains(text(), '  replace flywheel with flexplate_used')
  end, 'the pick in the text, after ' .. tostring(offered))
  vim.ui.select = select
  check(not vim.tbl_contains(text(), chosen[1]), 'the choice is still there')
  for _, it in ipairs({ '  recipient van', '  budget 2600 EUR' }) do
    check(vim.tbl_contains(text(), it), 'the line `' .. it .. '` is gone')
  end
  wait(function()
    return told ~= nil
  end, 'what the plan does')
  vim.lsp.handlers['window/showMessage'] = show
  check(told:find('of parts', 1, true) and told:find('120 EUR', 1, true), 'it says: ' .. told)
  say('   ' .. told)
  vim.bo[choosing].modified = false
end)

step('the server ends with the editor', function()
  local handle = vim.lsp.get_client_by_id(client)
  vim.lsp.stop_client(client)
  wait(function()
    return handle.is_stopped()
  end, 'the end of the server')
end)

say(passed .. ' passed, 0 failed')
vim.cmd('qall!')
