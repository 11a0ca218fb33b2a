#include <fmt/format.h>

#include <cmath>

#include "oxfade/plant/limits.hpp"
#include "scenario/branch_lines.hpp"
#include "scenario/readers.hpp"
#include "text/key_path.hpp"

namespace oxfade::scenario::detail {
namespace {

namespace limits = plant::limits;

plant::Pipe read_piece(Table& table, std::string_view owner,
                       const std::optional<std::string>& schedule = {}) {
    plant::Pipe piece;
    piece.shape = read_shape(table, owner, schedule);
    piece.cells = table.count("cells");
    table.one_of({{"position"}, {"pitch"}}, "", "keep one of `position` and `pitch`");
    piece.pitch = read_pitch(table);
    return piece;
}

/// The row's schedule and pitch are those of every piece without one of its own.
void read_pieces(Table& table, BranchLineRow& row) {
    for (const char* key : {"volume", "nominal", "bore", "outside_diameter", "wall", "length", "cells"})
        table.refuse(key, "a line of several pieces has no such key of its own",
                     "give it in each of the `pieces`");
    table.one_of({{"position"}, {"pitch"}}, "", "keep one of `position` and `pitch`");
    const auto pitch = read_pitch(table);
    const auto schedule = table.text("schedule");
    for (Table& piece : table.list("pieces")) {
        row.piece_paths.push_back(piece.path());
        row.pieces.push_back(read_piece(piece, "the piece", schedule));
        piece.finish();
        if (!row.pieces.back().pitch) row.pieces.back().pitch = pitch;
    }
    if (!row.pieces.empty()) return;
    row.readable = false;
    if (table.has("pieces"))
        table.add_problem("pieces", "there is no piece in it",
                          "for example [{ nominal = \"1 1/4 in\", schedule = \"40\", length = \"24 ft\" }]");
}

/// A length that the places of the lines follow from.
std::optional<double> read_distance(Table& table, std::string_view key, BranchLineRow& row) {
    const auto given = table.quantity(key, Dimension::length);
    if (!given) return std::nullopt;
    if (std::isfinite(*given) && *given >= limits::part_length) return given;
    row.readable = false;
    if (std::isfinite(*given)) table.add_problem(key, "is too short", "at least 1 mm");
    return std::nullopt;
}

void read_number(Table& table, BranchLineRow& row) {
    row.number = table.count("number");
    if (table.has("number") && !row.number) row.readable = false;
    if (!row.number) return;
    if (*row.number < 1 || *row.number > limits::branch_lines) {
        row.readable = false;
        table.add_problem("number", "is out of range",
                          fmt::format("a whole number from 1 to {}", limits::branch_lines));
    } else if (row.both_sides && *row.number % 2 != 0) {
        row.readable = false;
        table.add_problem("number", "must be even where lines leave on both sides",
                          "two lines leave at each tap; for a single one add a row with sides = \"one\"");
    }
}

}  // namespace

BranchLineRow read_branch_lines(Table table) {
    BranchLineRow row;
    row.path = table.path();
    row.name = table.required_text("name");
    row.along = table.required_text("along");
    row.both_sides = table.choice<bool>("sides", {{"one", false}, {"both", true}}).value_or(false);
    read_number(table, row);
    row.spacing = read_distance(table, "spacing", row);
    row.first = read_distance(table, "first", row);
    if (!table.has("number") && !table.has("spacing")) {
        row.readable = false;
        table.add_problem("number", "missing key", "give `number`, `spacing`, or both");
    }
    if (table.has("pieces")) {
        read_pieces(table, row);
    } else {
        row.piece_paths.push_back(row.path);
        row.pieces.push_back(read_piece(table, "the branch line"));
        table.list("pieces");
    }
    if (row.name.empty() || row.along.empty()) row.readable = false;
    table.finish();
    return row;
}

}  // namespace oxfade::scenario::detail
