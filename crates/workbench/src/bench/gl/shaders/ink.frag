// Inks creases and outlines from the depth of the drawn picture: where the surface bends away from the straight line
// through its neighbours, towards the eye it is lightened, away from it darkened. After the idea of shading by depth
// differences in C. Boucheny, "Visualisation scientifique interactive de grands volumes de donnees" (thesis, 2009).
in vec2 at;
uniform sampler2D picture;
uniform sampler2D depth;
uniform vec2 pixel;
uniform float near_mm;
uniform float far_mm;
uniform float strength;
uniform float reach;
uniform vec3 ink;
uniform vec3 accent;
layout (location = 0) out vec4 outcome;

float log_depth(vec2 p) {
    float z = texture(depth, p).r;
    return log2(near_mm * far_mm / (far_mm - z * (far_mm - near_mm)));
}

// Steps in depth larger than this are outlines, not creases.
const float STEP = 0.02;

float bend(float here, vec2 step_by) {
    return 2.0 * here - log_depth(at + step_by) - log_depth(at - step_by);
}

// Creases and hollows: darker where the surface bends away from the eye, a little lighter on ridges.
float crease(float here, vec2 step_by) {
    float d = bend(here, step_by);
    return clamp(d, -0.004, 0.02) * (1.0 - smoothstep(0.5 * STEP, STEP, abs(d)));
}

// Outlines: one line of ink on the far side of a step.
float outline(float here, vec2 step_by) {
    float d = bend(here, step_by);
    return smoothstep(0.35 * STEP, 1.5 * STEP, d);
}

void main() {
    vec4 here = texture(picture, at);
    float z = log_depth(at);
    vec2 near_x = vec2(pixel.x * reach, 0.0);
    vec2 near_y = vec2(0.0, pixel.y * reach);
    float fine = crease(z, near_x) + crease(z, near_y)
        + 0.7 * (crease(z, near_x + near_y) + crease(z, near_x - near_y));
    float broad = crease(z, 3.0 * near_x) + crease(z, 3.0 * near_y)
        + 0.7 * (crease(z, 2.5 * (near_x + near_y)) + crease(z, 2.5 * (near_x - near_y)));
    float edge = max(outline(z, near_x), outline(z, near_y));
    float dark = max(clamp(fine * 40.0 + broad * 14.0, -0.12, 0.7), edge * 0.85) * strength;
    vec3 colour = dark > 0.0 ? mix(here.rgb, ink, dark) : here.rgb * (1.0 - dark);

    // Raised meshes carry how far they are raised in 1 - alpha; their outline is where it falls off.
    float own = 1.0 - here.a;
    float around = 0.0;
    for (int i = 0; i < 8; i++) {
        float a = float(i) * 0.7853982;
        vec2 p = at + vec2(cos(a), sin(a)) * pixel * reach * 2.2;
        around = max(around, 1.0 - texture(picture, p).a);
    }
    colour = mix(colour, accent, clamp((around - own) * 1.15, 0.0, 1.0));
    outcome = vec4(colour, 1.0);
}
