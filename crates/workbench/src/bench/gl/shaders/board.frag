in vec2 on_mm;
in vec3 seen;
uniform vec2 size_mm;
uniform vec2 grid_mm;        // fine and bold distance of lines; counted from `grid_from`
uniform vec2 grid_from;
uniform vec4 surface;
uniform vec4 fine;
uniform vec4 bold;
uniform vec4 zone_ink;
uniform vec2 ground_from;    // the corner of the rectangle, in the bed's frame
uniform float hatch_mm;      // distance of the hatch lines of keep-out zones
uniform sampler2D shade;     // the shadow: its line of contact, and the wide one
uniform float shade_margin_mm;
uniform vec2 shade_span_mm;
uniform float shade_strength;
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

// What must stay free: the margin in a tint up to a pencil line, keep-out zones hatched.
vec4 kept_free(vec2 p, float pixel_mm, vec4 c) {
    vec4 head = row(0);
    float room = inside_edge(p) - head.z;
    float level = room;
    for (int i = 1 + int(head.y); i < ground_rows;) {
        head = row(i);
        float zone = inside_ring(p, i + 1, int(head.y));
        if (zone > 0.0) {
            // Zones that begin higher up leave the ground free: their hatch is broken.
            float t = (p.x + p.y) / hatch_mm;
            float line = 1.0 - smoothstep(0.3, 1.2, abs(fract(t) - 0.5) * 1.414 * hatch_mm / (2.0 * pixel_mm));
            float dash = head.w > 0.0 ? step(0.5, fract((p.x - p.y) / (2.0 * hatch_mm))) : 1.0;
            c = over(vec4(zone_ink.rgb, 0.10 * zone_ink.a), c);
            c = over(vec4(zone_ink.rgb, 0.75 * zone_ink.a * line * dash), c);
        }
        if (head.w <= 0.0) level = min(level, -zone - head.z);
        i += 1 + int(head.y);
    }
    if (room < 0.0) c = over(vec4(bold.rgb, 0.22 * bold.a), c);
    float margin = 1.0 - smoothstep(0.3, 1.2, abs(level) / pixel_mm);
    return over(vec4(bold.rgb, 0.8 * bold.a * margin), c);
}

void main() {
    vec4 c = surface;
    vec2 p = on_mm - grid_from;
    c = over(vec4(fine.rgb, fine.a * lines(p, grid_mm.x, 1.0)), c);
    c = over(vec4(bold.rgb, bold.a * lines(p, grid_mm.y, 1.3)), c);
    // Derivatives before any branch.
    vec2 pixel = fwidth(on_mm);
    float pixel_mm = max(pixel.x, pixel.y);
    if (ground_rows > 0) {
        vec2 place = on_mm + ground_from;
        if (inside_edge(place) < 0.0) discard;
        c = kept_free(place, pixel_mm, c);
    }
    // Over lines and marks alike, so that they stay as far apart from the ground as they are.
    vec2 shadow = texture(shade, (on_mm + shade_margin_mm) / shade_span_mm).rg;
    c.rgb *= (1.0 - shade_strength * 0.8 * shadow.r) * (1.0 - shade_strength * 0.9 * shadow.g);
    outcome = c;
}
