-- SPDX-License-Identifier: MIT
-- Lists of cases for a sweep.

local cases = {}

local function check_axis(i, axis)
  if type(axis) ~= "table" or type(axis[1]) ~= "string" or #axis < 2 then
    error(("cases.product: axis %d: expected { name, value, … }, found %s"):format(i,
      type(axis) == "table" and "a list of " .. #axis or "a " .. type(axis)), 3)
  end
  for j = 2, #axis do
    local kind = type(axis[j])
    if kind ~= "number" and kind ~= "string" then
      error(("cases.product: %s: expected numbers or texts, found a %s")
        :format(axis[1], kind), 3)
    end
  end
end

local function label(value)
  return type(value) == "number" and ("%.6g"):format(value) or value
end

-- Every combination of one value an axis, the last axis changing fastest:
-- product({ "supply", 12, 24 }, { "target", 600, 1500 }) gives four cases, the
-- first { name = "supply 12, target 600", supply = 12, target = 600 }.
function cases.product(...)
  local made = { { name = "" } }
  for i, axis in ipairs { ... } do
    check_axis(i, axis)
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
