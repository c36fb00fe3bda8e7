// Inks creases and outlines from the depth of the drawn picture: where the surface bends away from the straight line
// through its neighbours, towards the eye it is lightened, away from it darkened. After the idea of shading by depth
// differences in C. Boucheny, "Visualisation scientifique interactive de grands volumes de donnees" (thesis, 2009).
#ifdef GL_ES
precision highp sampler2D;   // the depth needs it
#endif
uniform sampler2D picture;
uniform sampler2D depth;
uniform float near_mm;
uniform float far_mm;
uniform float strength;
uniform float reach;         // pixels to a screen point, a whole number
uniform vec3 ink;
#ifdef RAISED                // something is selected or hovered
uniform vec3 accent;
#endif
layout (location = 0) out vec4 outcome;

// Steps in depth larger than this are outlines, not creases.
const float STEP = 0.02;

ivec2 place(ivec2 at) {
    return clamp(at, ivec2(0), textureSize(depth, 0) - 1);
}

float raw_depth(ivec2 at) {
    return texelFetch(depth, place(at), 0).r;
}

// How far the surface bends away from the straight line through two opposite neighbours, as a share of its distance. A
// depth buffer is linear on the screen for flat surfaces, so that these give nothing, however steep they are.
float bend(float here, float gain, ivec2 at, ivec2 by) {
    return gain * (2.0 * here - raw_depth(at + by) - raw_depth(at - by));
}

// Creases and hollows: darker where the surface bends away from the eye, a little lighter on ridges.
float crease(float bent) {
    return clamp(bent, -0.004, 0.02) * (1.0 - smoothstep(0.5 * STEP, STEP, abs(bent)));
}

// Outlines: one line of ink on the far side of a step.
float outline(float bent) {
    return smoothstep(0.35 * STEP, 1.5 * STEP, bent);
}

// What tells pieces apart takes no more of alpha than this.
const float APART = 0.03;

// Seams: pieces that meet carry different numbers in the last bits of alpha, two apart, so that the mean of two, at the very
// border, lies between them. What is raised, and what is no piece, is much farther apart.
float seam(ivec2 at, ivec2 by) {
    float step_across = abs(texelFetch(picture, place(at + by), 0).a - texelFetch(picture, place(at - by), 0).a);
    return step(0.005, step_across) * step(step_across, APART);
}

#ifdef RAISED
float raised(float alpha) {
    return max(1.0 - alpha - APART, 0.0) / (1.0 - APART);
}
#endif

void main() {
    ivec2 at = ivec2(gl_FragCoord.xy);
    int step_by = int(reach);
    vec4 here = texelFetch(picture, place(at), 0);
    outcome = vec4(here.rgb, 1.0);

    ivec2 x = ivec2(step_by, 0);
    ivec2 y = ivec2(0, step_by);
    float z = raw_depth(at);
    float gain = (far_mm - near_mm) / (far_mm - z * (far_mm - near_mm));
    float bent_x = bend(z, gain, at, x);
    float bent_y = bend(z, gain, at, y);
    float fine = crease(bent_x) + crease(bent_y)
        + 0.7 * (crease(bend(z, gain, at, x + y)) + crease(bend(z, gain, at, x - y)));
    float broad = crease(bend(z, gain, at, 3 * x)) + crease(bend(z, gain, at, 3 * y));
    float edge = max(outline(bent_x), outline(bent_y));
    float dark = max(clamp(fine * 28.0 + broad * 17.0, -0.12, 0.7), edge * 0.85) * strength;
    dark = max(dark, 0.75 * strength * max(seam(at, x), seam(at, y)));
    outcome.rgb = dark > 0.0 ? mix(here.rgb, ink, dark) : here.rgb * (1.0 - dark);

#ifdef RAISED
    // Raised meshes carry how far they are raised in 1 - alpha; their outline is where it falls off.
    float around = 0.0;
    for (int i = 0; i < 8; i++) {
        float a = float(i) * 0.7853982;
        ivec2 p = at + ivec2(round(vec2(cos(a), sin(a)) * reach * 2.2));
        around = max(around, raised(texelFetch(picture, place(p), 0).a));
    }
    outcome.rgb = mix(outcome.rgb, accent, clamp((around - raised(here.a)) * 1.15, 0.0, 1.0));
#endif
}
