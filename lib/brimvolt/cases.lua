-- SPDX-License-Identifier: MIT
-- Lists of cases for a sweep.

local cases = {}

-- As many as a study may have.
local most = 100000

-- What is wrong with a value, an axis, all of them; nil: nothing.

local function value_slip(name, value)
  local kind = type(value)
  if kind ~= "number" and kind ~= "string" then
    return ("%s: expected numbers or texts, found a %s"):format(name, kind)
  elseif kind == "number" and (value ~= value or math.abs(value) == math.huge) then
    return ("%s: expected finite numbers, found %s"):format(name, value)
  end
end

local function axis_slip(i, axis)
  if type(axis) ~= "table" or type(axis[1]) ~= "string" or #axis < 2 then
    return ("axis %d: expected { name, value, … }, found %s"):format(i,
      type(axis) == "table" and "a list of " .. #axis or "a " .. type(axis))
  elseif axis[1] == "name" then
    return ("axis %d: expected another name than that of the case, \"name\""):format(i)
  end
  for j = 2, #axis do
    local slip = value_slip(axis[1], axis[j])
    if slip then
      return slip
    end
  end
end

local function slip_of(axes)
  local count, known = 1, {}
  for i = 1, axes.n do
    local axis = axes[i]
    local slip = axis_slip(i, axis)
    if slip then
      return slip
    elseif known[axis[1]] then
      return ("axis %d: expected a name of its own, found \"%s\" twice"):format(i, axis[1])
    end
    known[axis[1]] = true
    count = count * (#axis - 1)
    if count > most then
      return ("expected at most %d combinations, found more"):format(most)
    end
  end
  return axes.n == 0 and "expected lists { name, value, … }, found nothing" or nil
end

local function label(value)
  return type(value) == "number" and ("%.6g"):format(value) or value
end

-- Every combination of one value an axis, the last axis changing fastest:
-- product({ "supply", 12, 24 }, { "target", 600, 1500 }) gives four cases, the
-- first { name = "supply 12, target 600", supply = 12, target = 600 }.
function cases.product(...)
  local made, axes = { { name = "" } }, table.pack(...)
  local slip = slip_of(axes)
  if slip then
    error("cases.product: " .. slip, 2)
  end
  for _, axis in ipairs(axes) do
    local longer = {}
    for _, case in ipairs(made) do
      for j = 2, #axis do
        local more = {}
        for key, value in pairs(case) do
          more[key] = value
        end
        more.name = case.name .. (case.name == "" and "" or ", ") ..
          axis[1] .. " " .. label(axis[j])
        more[axis[1]] = axis[j]
        longer[#longer + 1] = more
      end
    end
    made = longer
  end
  return made
end

return cases
