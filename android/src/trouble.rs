//! The window in place of the screens when the book cannot be opened.

slint::slint! {

    export component TroubleWindow inherits Window {
        in property <string> text;
        in property <string> again-text;
        callback again();
        background: white;
        default-font-family: "Tautbook Sans";
        VerticalLayout {
            padding: 24px;
            padding-top: 24px + root.safe-area-insets.top;
            padding-bottom: 24px + root.safe-area-insets.bottom;
            spacing: 24px;
            alignment: center;
            Text { text: root.text; wrap: word-wrap; font-size: 20px; color: black; }
            Rectangle {
                height: 76px;
                border-width: 2px;
                border-radius: 6px;
                border-color: black;
                Text { text: root.again-text; font-size: 20px; color: black; }
                TouchArea { clicked => { root.again(); } }
            }
        }
    }
}
