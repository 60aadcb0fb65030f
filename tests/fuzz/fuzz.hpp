#pragma once

#include <cstddef>
#include <cstdint>

// Each target is one program: with libFuzzer's own main function, or with that of play_corpus.cpp.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);
