local s = require "brimvolt.space"
return {
  title = "t", order = { "b", "a" }, results = { c = { unit = "V", meaning = "m" } },
  variables = { a = s.real(0, 1), b = s.choice { "x", 2, true }, d = s.step(0, 1, 0.5), e = s.log(1, 9), f = s.whole(1, 3) },
  evaluate = function(x, k) return { v = x.a + k.n, w = x.e, c = math.random(5), q = tostring(x.b) } end,
  minimise = { "v" }, maximise = { "w" }, limits = { c = { max = 5, min = function(r) return r.v end, scale = 2 } },
  cases = { { name = "one", n = 1 } }, start = { { a = 0.5, b = "x" } },
  on_round = function(p) return p.round < 3 end,
}
