// How much of the light from above a surface takes from the bed beneath it: the nearer, the more. Red falls off quickly
// with the height, green slowly. The most of all surfaces counts.
in float height_mm;
uniform vec2 fades_mm;
layout (location = 0) out vec4 outcome;

void main() {
    // What reaches through the bed stands on it.
    outcome = vec4(exp(-max(height_mm, 0.0) / fades_mm), 0.0, 1.0);
}
