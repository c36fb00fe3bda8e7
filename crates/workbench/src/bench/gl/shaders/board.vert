// A flat rectangle: the one around a bed, or the sheet of a cut.
in vec2 corner;              // 0..1
uniform vec3 origin;         // from the eye
uniform vec3 side_u;
uniform vec3 side_v;
uniform vec2 size_mm;
uniform mat4 clip_from_eye;
out vec2 on_mm;
out vec3 seen;

void main() {
    on_mm = corner * size_mm;
    seen = origin + side_u * on_mm.x + side_v * on_mm.y;
    gl_Position = clip_from_eye * vec4(seen, 1.0);
}
