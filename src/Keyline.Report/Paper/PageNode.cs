using System.Globalization;
using System.Net;
using System.Text.RegularExpressions;

namespace Keyline.Report;

/// <summary>An element of the report's page, or a text in it, read back from the page's own markup.</summary>
/// <remarks>
/// Reads what <see cref="HtmlParts"/> and the drawings write and nothing looser: every element is closed, every value stands in double quotes. What is
/// written otherwise is refused, so that nothing is left out in silence.
/// </remarks>
internal sealed partial class PageNode
{
    private static readonly string[] Bare = ["img", "input"];
    private static readonly IReadOnlyDictionary<string, string> None = new Dictionary<string, string>();

    private PageNode(string name, string text, IReadOnlyDictionary<string, string> attributes) => (Name, Text, Attributes) = (name, text, attributes);

    /// <summary>The element's name; empty for a text.</summary>
    public string Name { get; }

    /// <summary>The text; empty for an element.</summary>
    public string Text { get; }

    public IReadOnlyDictionary<string, string> Attributes { get; }

    public List<PageNode> Children { get; } = [];

    /// <summary>The first of the element's classes; empty where it has none.</summary>
    public string Class => this["class"].Split(' ')[0];

    /// <summary>An attribute's value; empty where it has none of that name.</summary>
    public string this[string attribute] => Attributes.TryGetValue(attribute, out string? value) ? value : "";

    /// <summary>An attribute as a number.</summary>
    public double Number(string attribute) => double.Parse(this[attribute], CultureInfo.InvariantCulture);

    /// <summary>Whether it has a class among others.</summary>
    public bool Is(string name) => this["class"].Split(' ').Contains(name);

    /// <summary>All nodes below, those that stand first first.</summary>
    public IEnumerable<PageNode> Below()
    {
        Stack<PageNode> open = new(Children.AsEnumerable().Reverse());
        while (open.TryPop(out PageNode? node))
        {
            yield return node;
            for (int i = node.Children.Count - 1; i >= 0; i--)
            {
                open.Push(node.Children[i]);
            }
        }
    }

    /// <summary>The first element of a kind in a page, with all that is in it.</summary>
    /// <param name="page">The page.</param>
    /// <param name="name">The element's name.</param>
    /// <exception cref="FormatException">The page has none, or its markup is not as it is written here.</exception>
    public static PageNode Read(string page, string name)
    {
        int at = page.IndexOf('<' + name + '>', StringComparison.Ordinal);
        if (at < 0)
        {
            throw new FormatException($"The page has no {name}.");
        }

        PageNode root = new(name, "", None);
        Stack<PageNode> open = new([root]);
        at += name.Length + 2;
        while (open.Count > 0)
        {
            int tag = page.IndexOf('<', at);
            if (tag < 0)
            {
                throw new FormatException($"The page ends within {open.Peek().Name}.");
            }

            if (tag > at)
            {
                open.Peek().Children.Add(new PageNode("", WebUtility.HtmlDecode(page[at..tag]), None));
            }

            at = page.AsSpan(tag).StartsWith("<!--") ? After(page, "-->", tag) : page[tag + 1] == '/' ? Close(page, tag, open) : Open(page, tag, open);
        }

        return root;
    }

    private static int Close(string page, int tag, Stack<PageNode> open)
    {
        int end = After(page, ">", tag);
        PageNode closed = open.Pop();
        return page.AsSpan(tag + 2, end - tag - 3).SequenceEqual(closed.Name) ? end : throw new FormatException($"The page closes {page[(tag + 2)..(end - 1)]} within {closed.Name}.");
    }

    private static int Open(string page, int tag, Stack<PageNode> open)
    {
        Match name = ElementName().Match(page, tag + 1);
        int at = tag + 1 + name.Length;
        Dictionary<string, string> attributes = [];
        for (Match next = Attribute().Match(page, at); next.Success; next = Attribute().Match(page, at))
        {
            at += next.Length;
            string value = "";
            if (next.Groups["value"].Success)
            {
                int end = After(page, "\"", at);
                value = WebUtility.HtmlDecode(page[at..(end - 1)]);
                at = end;
            }

            attributes.Add(next.Groups["name"].Value, value);
        }

        bool isClosed = page.AsSpan(at).StartsWith("/>");
        if (!name.Success || !(isClosed || page[at] == '>'))
        {
            throw new FormatException($"The page holds markup that it does not write: {page[tag..Math.Min(page.Length, tag + 40)]}");
        }

        PageNode node = new(name.Value, "", attributes);
        open.Peek().Children.Add(node);
        if (!isClosed && !Bare.Contains(node.Name))
        {
            open.Push(node);
        }

        return at + (isClosed ? 2 : 1);
    }

    private static int After(string page, string mark, int from)
    {
        int at = page.IndexOf(mark, from, StringComparison.Ordinal);
        return at < 0 ? throw new FormatException("The page ends within markup.") : at + mark.Length;
    }

    [GeneratedRegex(@"\G[a-z][a-z0-9]*")]
    private static partial Regex ElementName();

    [GeneratedRegex(@"\G\s+(?<name>[a-zA-Z][a-zA-Z0-9-]*)(?<value>="")?", RegexOptions.ExplicitCapture)]
    private static partial Regex Attribute();
}
