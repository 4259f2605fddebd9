// SPDX-License-Identifier: MIT
// The one C++ file of the project: calls pagmo's algorithms.
#include "bench/peers.h"

#include <algorithm>

#include <pagmo/algorithm.hpp>
#include <pagmo/algorithms/moead.hpp>
#include <pagmo/algorithms/nsga2.hpp>
#include <pagmo/algorithms/nspso.hpp>
#include <pagmo/population.hpp>
#include <pagmo/problem.hpp>
#include <pagmo/problems/unconstrain.hpp>
#include <pagmo/utils/hypervolume.hpp>
#include <pagmo/utils/multi_objective.hpp>

namespace {

using pagmo::vector_double;

// Points to the C side: pagmo makes problems by copying.
struct seen_problem {
  const peer_problem *problem = nullptr;

  vector_double fitness(const vector_double &x) const {
    vector_double results(problem->objectives + problem->limits);
    problem->evaluate(problem->context, x.data(), results.data());
    return results;
  }
  std::pair<vector_double, vector_double> get_bounds() const {
    auto n = problem->variables;
    return {vector_double(problem->lo, problem->lo + n),
            vector_double(problem->hi, problem->hi + n)};
  }
  vector_double::size_type get_nobj() const { return problem->objectives; }
  vector_double::size_type get_nic() const { return problem->limits; }
};

constexpr unsigned population_size = 100;

pagmo::algorithm make(unsigned kind, unsigned variables, unsigned generations,
                      unsigned seed) {
  switch (kind) {
  case 0:
    return pagmo::algorithm{
        pagmo::nsga2(generations, 0.95, 10., 1. / variables, 50., seed)};
  case 1:
    return pagmo::algorithm{pagmo::moead(generations, "low discrepancy",
                                         "tchebycheff", 20u, 1., 0.5, 20., 0.9,
                                         2u, true, seed)};
  default:
    return pagmo::algorithm{pagmo::nspso(generations, 0.6, 2., 2., 1., 0.5, 2u,
                                         "crowding distance", false, seed)};
  }
}

const char *const treatments[] = {"death penalty", "kuri"};

std::vector<vector_double> rows_of(const double *points, unsigned count,
                                   unsigned objectives) {
  std::vector<vector_double> rows;
  for (unsigned i = 0; i < count; i++)
    rows.emplace_back(points + i * objectives, points + (i + 1) * objectives);
  return rows;
}

} // namespace

// Each algorithm with each way of treating limits.
const char *const peer_names[] = {"NSGA-II",          "MOEA/D-DE",
                                  "NSPSO",            "NSGA-II, Kuri",
                                  "MOEA/D-DE, Kuri",  "NSPSO, Kuri"};
const unsigned peer_count = 6;

int peer_suits(unsigned peer, const peer_problem *problem) {
  return peer < 3 || problem->limits > 0;
}

void peer_run(unsigned peer, const peer_problem *problem, uint64_t evaluations,
              unsigned seed) {
  pagmo::problem seen{seen_problem{problem}};
  if (problem->limits > 0)
    seen = pagmo::problem{pagmo::unconstrain{seen, treatments[peer / 3]}};
  pagmo::population population{seen, population_size, seed};
  unsigned generations =
      static_cast<unsigned>(evaluations / population_size) - 1;
  make(peer % 3, problem->variables, generations, seed).evolve(population);
}

double peer_hypervolume(const double *points, unsigned count,
                        unsigned objectives, const double *reference) {
  return pagmo::hypervolume{rows_of(points, count, objectives), false}.compute(
      vector_double(reference, reference + objectives));
}

void peer_ranks(const double *points, unsigned count, unsigned objectives,
                unsigned *ranks) {
  auto sorted =
      pagmo::fast_non_dominated_sorting(rows_of(points, count, objectives));
  auto fronts = std::get<3>(sorted);
  std::copy(fronts.begin(), fronts.end(), ranks);
}
