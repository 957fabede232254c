using System.Text.RegularExpressions;

namespace Keyline.PublicApi.Tests;

/// <summary>Which source file of a folder uses which other, by the types each names; comments and strings do not count.</summary>
internal sealed partial class HouseMap
{
    private HouseMap(IReadOnlyDictionary<string, IReadOnlyDictionary<string, string>> uses) => Uses = uses;

    /// <summary>For each file, below the folder, the files it uses and one type by which it does.</summary>
    public IReadOnlyDictionary<string, IReadOnlyDictionary<string, string>> Uses { get; }

    public static HouseMap Of(IReadOnlyDictionary<string, string> sources)
    {
        Dictionary<string, string> code = sources.ToDictionary(s => s.Key, s => Said().Replace(s.Value, m => m.Value.StartsWith('"') ? "\"\"" : ""));
        Dictionary<string, string> home = [];
        foreach ((string file, string text) in code)
        {
            foreach (Match type in Declared().Matches(text))
            {
                home.TryAdd(type.Groups[1].Value, file);
            }
        }

        return new HouseMap(code.ToDictionary(
            c => c.Key,
            c => (IReadOnlyDictionary<string, string>)Word().Matches(c.Value).Select(m => m.Value).Distinct().Order(StringComparer.Ordinal)
                .Where(w => home.TryGetValue(w, out string? at) && at != c.Key)
                .GroupBy(w => home[w]).ToDictionary(g => g.Key, g => g.First())));
    }

    /// <summary>The rooms of the library: its folders, and for files outside any folder the empty name.</summary>
    public static string RoomOf(string file) => file.Contains('/', StringComparison.Ordinal) ? file[..file.IndexOf('/', StringComparison.Ordinal)] : "";

    /// <summary>Uses of a room that comes later in an order.</summary>
    public IEnumerable<string> OutOfOrder(IReadOnlyList<string> order)
    {
        foreach ((string file, IReadOnlyDictionary<string, string> used) in Uses.OrderBy(u => u.Key, StringComparer.Ordinal))
        {
            int here = order.ToList().IndexOf(RoomOf(file));
            foreach ((string other, string type) in used)
            {
                int there = order.ToList().IndexOf(RoomOf(other));
                if (here >= 0 && there > here)
                {
                    yield return $"{file} uses {type} of {other}";
                }
            }
        }
    }

    /// <summary>Files that use each other in a circle, each circle once: the strongly connected components (Tarjan 1972).</summary>
    public IReadOnlyList<string> Circles()
    {
        Dictionary<string, int> index = [];
        Dictionary<string, int> low = [];
        Stack<string> open = [];
        List<string> circles = [];
        foreach (string file in Uses.Keys.Order(StringComparer.Ordinal))
        {
            if (!index.ContainsKey(file))
            {
                Visit(file);
            }
        }

        return circles;

        void Visit(string file)
        {
            index[file] = low[file] = index.Count;
            open.Push(file);
            foreach (string other in Uses[file].Keys)
            {
                if (!index.TryGetValue(other, out int seen))
                {
                    Visit(other);
                    low[file] = Math.Min(low[file], low[other]);
                }
                else if (open.Contains(other))
                {
                    low[file] = Math.Min(low[file], seen);
                }
            }

            if (low[file] == index[file])
            {
                List<string> circle = [];
                string last;
                do
                {
                    circle.Add(last = open.Pop());
                }
                while (last != file);
                if (circle.Count > 1)
                {
                    circles.Add(string.Join(", ", circle.Order(StringComparer.Ordinal)));
                }
            }
        }
    }

    // Strings before comments, so that neither hides in the other; raw strings first.
    [GeneratedRegex("\"\"\"[\\s\\S]*?\"\"\"|\"(?:\\\\.|[^\"\\\\\\n])*\"|//[^\\n]*|/\\*[\\s\\S]*?\\*/")]
    private static partial Regex Said();

    [GeneratedRegex(@"^(?:public |internal )?(?:static |sealed |abstract |readonly |ref |partial |file )*(?:class|struct|record struct|record|enum|interface|delegate [\w<>\[\]?]+)\s+(\w+)", RegexOptions.Multiline)]
    private static partial Regex Declared();

    [GeneratedRegex(@"\b[A-Z]\w+\b")]
    private static partial Regex Word();
}
