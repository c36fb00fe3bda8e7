// One direction of a soft blur: red over a short way, green over a long one.
in vec2 at;
uniform sampler2D picture;
uniform vec2 step_short;     // between two taps, in shares of the picture
uniform vec2 step_long;
layout (location = 0) out vec4 outcome;

const int TAPS = 10;
// Taps reach as far as two and a half standard deviations of the bell curve.
const float REACH = 2.5 / float(TAPS);

void main() {
    vec2 sum = vec2(0.0);
    float weights = 0.0;
    for (int i = -TAPS; i <= TAPS; i++) {
        float t = float(i) * REACH;
        float weight = exp(-0.5 * t * t);
        sum.r += weight * texture(picture, at + float(i) * step_short).r;
        sum.g += weight * texture(picture, at + float(i) * step_long).g;
        weights += weight;
    }
    outcome = vec4(sum / weights, 0.0, 1.0);
}
