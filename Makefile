# placeholder: build with cmake until the real one lands
all:
	cmake -S . -B build -G Ninja && ninja -C build
