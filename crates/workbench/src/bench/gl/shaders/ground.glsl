// A bed seen from above, as rows of numbers: see `bench/ground.rs`.
uniform highp sampler2D ground;
uniform int ground_rows;     // 0 for no bed

vec4 row(int i) {
    // Pictures are filled from the foot up.
    return texelFetch(ground, ivec2(i & 255, textureSize(ground, 0).y - 1 - (i >> 8)), 0);
}

// How far p is inside a ring of edges, mm; negative outside.
float inside_ring(vec2 p, int from, int count) {
    float nearest = 1e20;
    bool inside = false;
    for (int i = from; i < from + count; i++) {
        vec4 e = row(i);
        vec2 run = e.zw - e.xy;
        vec2 off = p - e.xy;
        vec2 away = off - run * clamp(dot(off, run) / max(dot(run, run), 1e-12), 0.0, 1.0);
        nearest = min(nearest, dot(away, away));
        if ((e.y > p.y) != (e.w > p.y) && p.x < e.x + off.y * run.x / run.y) {
            inside = !inside;
        }
    }
    return (inside ? 1.0 : -1.0) * sqrt(nearest);
}

float inside_edge(vec2 p) {
    vec4 head = row(0);
    if (head.x > 0.5) {
        vec4 circle = row(1);
        return circle.z - length(p - circle.xy);
    }
    return inside_ring(p, 1, int(head.y));
}

// How far p at the height z is inside the room for pieces, mm.
float inside_room(vec2 p, float z) {
    vec4 head = row(0);
    float room = inside_edge(p) - head.z;
    for (int i = 1 + int(head.y); i < ground_rows;) {
        head = row(i);
        if (head.w <= z) {
            room = min(room, -inside_ring(p, i + 1, int(head.y)) - head.z);
        }
        i += 1 + int(head.y);
    }
    return room;
}
