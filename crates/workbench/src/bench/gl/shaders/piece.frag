// A mesh in matte paper tones, flat shaded from screen derivatives: no normals are stored. Where it follows the cut, the
// tone and the hatch change at the plane, pixel by pixel.
in vec3 own;
in vec3 seen;
uniform vec3 middle;
uniform vec4 plane;          // own frame: dot(plane.xyz, own) - plane.w is the height over the cut, mm
uniform vec3 tone_below;     // linear
uniform vec3 tone_above;
uniform int pattern_below;
uniform int pattern_above;
uniform vec3 inside;
uniform float closed;        // 1: only outsides are drawn, whatever the driver says of a face
uniform vec3 seam_tone;
uniform float seam_strength;
uniform vec3 key_light;      // unit, towards the light
uniform vec3 fill_light;
uniform float pixel_share;   // size of a pixel, as a share of its distance
uniform float hatch_mm;
uniform float cap;           // 1 on caps
uniform vec2 section;        // hatch of caps: which way (1 or -1), and how close
uniform float opacity;       // less than 1 when seen through
uniform float lift;          // 0 plain .. 1 selected
uniform float apart;         // tells pieces apart that meet at a seam: 0, 1, 2, 3
uniform mat3 bed_turn;       // from the own frame into that of the bed it is held against
uniform vec3 bed_shift;
uniform float bed_floor;
uniform float bed_ceiling;
layout (location = 0) out vec4 outcome;

// Slanted planes through space leave lines on any surface that they cross.
const vec3 HATCH_A = vec3(0.58, 0.42, 0.70);
const vec3 HATCH_B = vec3(-0.66, 0.40, 0.64);

float stripes(vec3 p, vec3 direction, float width) {
    float t = dot(p, direction) / hatch_mm;
    float soft = max(fwidth(t), 1e-5);
    float line = 1.0 - smoothstep(0.5 * width - 0.7 * soft, 0.5 * width + 0.7 * soft, abs(fract(t) - 0.5));
    return mix(line, width, smoothstep(0.35, 0.8, soft));
}

float hatch(int pattern, vec3 p) {
    if (pattern == 1) return stripes(p, HATCH_A, 0.16);
    if (pattern == 2) return stripes(p, HATCH_A, 0.16) * stripes(p, HATCH_B * 0.5, 0.6);
    if (pattern == 3) return max(stripes(p, HATCH_A, 0.16), stripes(p, HATCH_B, 0.16));
    if (pattern == 4) return stripes(p, HATCH_A * 1.3, 0.42) * stripes(p, HATCH_B * 1.3, 0.42);
    return 0.0;
}

// A face that was cut, as in a technical drawing: even narrow lines at 45 degrees in its own plane. Its partner beyond the
// seam looks the other way, which turns the lines; pieces side by side have them turned, or closer, by their number.
float section_hatch(vec3 n, vec3 p) {
    vec3 u = abs(n.z) > 0.9 ? cross(n, vec3(0.0, 1.0, 0.0)) : cross(n, vec3(0.0, 0.0, 1.0));
    u = normalize(u);
    vec3 along = (u + section.x * cross(n, u)) * 0.7071;
    return stripes(p, along * 1.7 * section.y, 0.16);
}

vec3 to_screen(vec3 c) {
    vec3 low = c * 12.92;
    vec3 high = 1.055 * pow(max(c, vec3(0.0)), vec3(1.0 / 2.4)) - 0.055;
    return mix(low, high, step(vec3(0.0031308), c));
}

// What sticks out of the bed in dense pencil, up to a chalk line at the wall.
vec3 mark_excess(vec3 base, vec3 place) {
    vec3 on_bed = bed_turn * own + bed_shift;
    float pencil = stripes(place, HATCH_A * 2.7, 0.42);
    float room = inside_room(on_bed.xy, on_bed.z);
    room = min(room, min(bed_ceiling - on_bed.z, on_bed.z - bed_floor));
    float pixels = room / max(fwidth(room), 1e-5);
    vec3 out_of_bed = mix(base * 0.42, vec3(0.03, 0.025, 0.02), 0.75 * pencil);
    vec3 marked = room < -0.02 ? out_of_bed : base;
    return mix(marked, seam_tone, 1.0 - smoothstep(1.0, 2.2, abs(pixels)));
}

void main() {
    vec3 towards_eye = normalize(-seen);
    vec3 n = cross(dFdx(own), dFdy(own));
    float area = dot(n, n);
    n = area > 0.0 ? n * inversesqrt(area) : towards_eye;

    float height = dot(plane.xyz, own) - plane.w;
    bool above = height > 0.0;
    vec3 place = own + middle;
    vec3 base = above ? tone_above : tone_below;
    float ink = hatch(above ? pattern_above : pattern_below, place);
    if (cap > 0.5) ink = section_hatch(n, own);
    // Paper under the colour.
    base = mix(base, vec3(0.62, 0.58, 0.52), 0.10);
    base = mix(base, vec3(0.86, 0.82, 0.74), 0.34 * cap);
    base = mix(base, base * 0.36, 0.8 * ink);
    if (ground_rows > 0) base = mark_excess(base, place);
    base = mix(base, vec3(1.0), 0.10 * lift);
    if (!gl_FrontFacing && closed < 0.5) {
        base = inside * mix(1.0, 0.55, stripes(place, HATCH_B, 0.3));
    }

    float key = max((dot(n, key_light) + 0.22) / 1.22, 0.0);
    float fill = max((dot(n, fill_light) + 0.4) / 1.4, 0.0);
    float sky = 0.5 + 0.5 * n.z;
    float facing = max(dot(n, towards_eye), 0.0);
    float rim = pow(1.0 - facing, 3.0);
    vec3 light = vec3(1.03, 1.0, 0.95) * (0.84 * key) + vec3(0.93, 0.97, 1.06) * (0.14 * fill + 0.10 + 0.18 * sky);
    vec3 colour = base * light * (1.0 - 0.30 * rim);

    float pixel_mm = pixel_share * length(seen);
    float across = length(cross(n, plane.xyz));
    float from_seam = abs(height) / max(across, 0.25) / pixel_mm;
    float seam = (1.0 - smoothstep(0.7, 1.7, from_seam)) * smoothstep(0.02, 0.1, across);
    colour = mix(colour, seam_tone, seam * seam_strength);

    // The last bits of alpha tell the inking where one piece ends and the next begins.
    outcome = vec4(to_screen(colour), opacity * (1.0 - lift) * (1.0 - apart * 2.0 / 255.0));
}
