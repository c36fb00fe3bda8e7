in vec2 at;
uniform sampler2D picture;
layout (location = 0) out vec4 outcome;

void main() {
    outcome = vec4(texture(picture, at).rgb, 1.0);
}
