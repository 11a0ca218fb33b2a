#include "plant/pipe_tree.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "support/random_plant.hpp"

namespace oxfade::plant {
namespace {

TEST(PipeTree, says_what_the_riser_says) {
    for (unsigned seed = 0; seed < 30; ++seed) {
        for (Riser riser : sample::random_plant(seed).risers) {
            riser.pipes.back().from.reset();  // hangs on the one before it
            const PipeTree tree(riser);
            for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
                EXPECT_EQ(tree.parent(p), riser.parent_index(p));
                EXPECT_EQ(tree.index(riser.pipes[p].name), p);
            }
            EXPECT_EQ(tree.index("nowhere"), std::nullopt);
        }
    }
}

TEST(PipeTree, puts_every_pipe_after_the_one_it_hangs_on) {
    Riser riser;
    riser.name = "riser";
    for (const auto& [name, from] : {std::pair("a", ""), {"b", "d"}, {"c", "b"}, {"d", "a"}}) {
        Pipe pipe;
        pipe.name = name;
        if (*from != '\0') pipe.from = from;
        riser.pipes.push_back(pipe);
    }
    EXPECT_EQ(PipeTree(riser).parents_first(), (std::vector<std::size_t>{0, 3, 1, 2}));
}

}  // namespace
}  // namespace oxfade::plant
