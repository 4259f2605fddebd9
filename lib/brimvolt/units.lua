-- SPDX-License-Identifier: MIT
-- Multipliers to SI units: 33 * u.uF, 12 * u.mm, 100 * u.kHz.

local prefixes = {
  p = 1e-12, n = 1e-9, u = 1e-6, m = 1e-3, [""] = 1, k = 1e3, M = 1e6,
}
local units = { "F", "H", "V", "A", "W", "J", "s", "Hz", "ohm", "C", "T", "m" }

local u = {}
for _, unit in ipairs(units) do
  for prefix, factor in pairs(prefixes) do
    u[prefix .. unit] = factor
  end
end

u.cm = 1e-2
u.um2, u.mm2, u.cm2, u.m2 = 1e-12, 1e-6, 1e-4, 1
u.mm3, u.cm3, u.m3 = 1e-9, 1e-6, 1
u.g, u.kg = 1e-3, 1
u.minute, u.hour = 60, 3600
u.percent = 1e-2

return setmetatable(u, {
  __index = function(_, name)
    local nearest = ""
    for known in pairs(u) do
      if known:lower() == tostring(name):lower() then
        nearest = ("; did you mean \"%s\"?"):format(known)
      end
    end
    error(("units: no unit \"%s\"%s"):format(tostring(name), nearest), 2)
  end,
})
