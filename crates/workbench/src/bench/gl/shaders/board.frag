in vec2 on_mm;
in vec3 seen;
uniform vec2 size_mm;
uniform vec2 grid_mm;        // fine and bold distance of lines; counted from `grid_from`
uniform vec2 grid_from;
uniform vec4 surface;
uniform vec4 fine;
uniform vec4 bold;
uniform float margin_mm;     // shaded strip along the edges
layout (location = 0) out vec4 outcome;

float lines(vec2 p, float every, float pixels) {
    vec2 t = p / every;
    vec2 soft = max(fwidth(t), vec2(1e-6));
    vec2 away = abs(fract(t - 0.5) - 0.5) / soft;
    vec2 line = 1.0 - smoothstep(vec2(0.5 * pixels - 0.5), vec2(0.5 * pixels + 0.5), away);
    // Lines closer than about three pixels melt into a tint.
    line *= 1.0 - smoothstep(vec2(0.18), vec2(0.4), soft);
    return max(line.x, line.y);
}

vec4 over(vec4 top, vec4 below) {
    float a = top.a + below.a * (1.0 - top.a);
    return vec4((top.rgb * top.a + below.rgb * below.a * (1.0 - top.a)) / max(a, 1e-4), a);
}

void main() {
    vec4 c = surface;
    vec2 p = on_mm - grid_from;
    c = over(vec4(fine.rgb, fine.a * lines(p, grid_mm.x, 1.0)), c);
    c = over(vec4(bold.rgb, bold.a * lines(p, grid_mm.y, 1.3)), c);
    vec2 to_edge = min(on_mm, size_mm - on_mm);
    if (min(to_edge.x, to_edge.y) < margin_mm) {
        c = over(vec4(bold.rgb, 0.22 * bold.a), c);
    }
    outcome = c;
}
